"""The tempo ladder: its rule, the climb, its words."""
