"""Seats: a place with a chanter, and what is done there."""
