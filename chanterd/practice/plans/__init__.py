"""Plans of several drills, and going through one."""
