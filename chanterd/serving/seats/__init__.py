"""Seats: a place with a chanter, and what goes on there."""
