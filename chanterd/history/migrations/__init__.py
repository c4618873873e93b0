"""The migrations of the tables, one after the other; Alembic runs them."""
