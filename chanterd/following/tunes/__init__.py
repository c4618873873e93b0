"""Following a tune: which note and gracenote each onset was, wherever the player is in it."""
