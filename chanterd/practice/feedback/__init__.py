"""Feedback: which reps a player sees, and when."""
