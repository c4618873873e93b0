"""Judging a tune: each note and ornament as it was played, and what to take out next."""
