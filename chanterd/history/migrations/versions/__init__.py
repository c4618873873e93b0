"""One module for each migration. Never change one that has been released: add another."""
