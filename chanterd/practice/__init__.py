"""Practice: exercises, runs through a drill, ladders, plans, feedback, today's proposal, and calibration."""
