"""How the tables came to be, one step after the other; Alembic walks them."""
