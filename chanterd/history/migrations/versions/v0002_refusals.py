"""What a player does not want to be proposed, and until when."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None

NUMBER = sa.BigInteger().with_variant(sa.Integer, "sqlite")


def upgrade() -> None:
    """Make the table."""
    op.create_table(
        "refusals",
        sa.Column("player_id", NUMBER, autoincrement=False, nullable=False),
        sa.Column("ornament", sa.String(80), nullable=False),
        sa.Column("lead", sa.String(8), nullable=False),
        sa.Column("theme", sa.String(8), nullable=False),
        sa.Column("until", sa.String(10), nullable=False),
        sa.PrimaryKeyConstraint("player_id", "ornament", "lead", "theme", name="pk_refusals"),
        sa.ForeignKeyConstraint(["player_id"], ["players.id"], name="fk_refusals_players", ondelete="CASCADE"),
        sqlite_with_rowid=False,
    )
