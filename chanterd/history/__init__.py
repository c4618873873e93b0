"""What was practised, kept: players, runs, reps, steps, faults and takes in a database, and what is asked of it."""
