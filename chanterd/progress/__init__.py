"""What became of the practice that is kept: figures over time, an even hand, what got better, and a report of it."""
