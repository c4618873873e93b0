"""The tunes that a player works on, and when each is performed."""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None

NUMBER = sa.BigInteger().with_variant(sa.Integer, "sqlite")


def upgrade() -> None:
    """Make the table."""
    op.create_table(
        "repertoire",
        sa.Column("player_id", NUMBER, autoincrement=False, nullable=False),
        sa.Column("tune", sa.String(200), nullable=False),
        sa.Column("performance", sa.String(10), nullable=True),
        sa.PrimaryKeyConstraint("player_id", "tune", name="pk_repertoire"),
        sa.ForeignKeyConstraint(["player_id"], ["players.id"], name="fk_repertoire_players", ondelete="CASCADE"),
        sqlite_with_rowid=False,
    )
