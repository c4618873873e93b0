"""One module a step. A step that has been released is never changed: add another."""
