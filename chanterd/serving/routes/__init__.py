"""The HTTP routes, a subject a file."""
