"""The practice history: players, runs, reps, steps, faults and takes in a database, and the queries of it."""
