"""The command line, a command a file."""
