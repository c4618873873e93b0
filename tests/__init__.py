"""The tests; ``python3 -m tests`` runs every check there is."""
