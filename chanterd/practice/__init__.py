"""A player's run through a drill: onsets in, step and rep events out; calibration; learning a chanter."""
