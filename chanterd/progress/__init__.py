"""A player's progress from the history: figures over time, an even hand, what got better, and a report."""
