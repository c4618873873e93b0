"""What a player may see of which rep, and when."""
