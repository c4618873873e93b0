"""How far off, how long, and is that a fault? Measures and verdicts over what was followed. Pure."""
