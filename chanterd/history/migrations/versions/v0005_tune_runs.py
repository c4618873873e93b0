"""Runs through tunes, and how each ornament went in them."""

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None

NUMBER = sa.BigInteger().with_variant(sa.Integer, "sqlite")


def upgrade() -> None:
    """Make the tables."""
    op.create_table(
        "tune_runs",
        sa.Column("id", NUMBER, nullable=False),
        sa.Column("key", sa.String(32), nullable=False),
        sa.Column("player_id", NUMBER, nullable=False),
        sa.Column("began_ns", sa.BigInteger, nullable=False),
        sa.Column("day", sa.String(10), nullable=False),
        sa.Column("tune", sa.String(200), nullable=False),
        sa.Column("first", sa.Integer, nullable=False),
        sa.Column("last", sa.Integer, nullable=False),
        sa.Column("click_bpm", sa.Float, nullable=False),
        sa.Column("click_off", sa.Boolean, nullable=False),
        sa.Column("standard", sa.String(80), nullable=False),
        sa.Column("ornaments", sa.Integer, nullable=False),
        sa.Column("clean", sa.Integer, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_tune_runs"),
        sa.UniqueConstraint("key", name="uq_tune_runs_key"),
        sa.ForeignKeyConstraint(["player_id"], ["players.id"], name="fk_tune_runs_players", ondelete="CASCADE"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_tune_runs_player_id_tune", "tune_runs", ["player_id", "tune"])
    op.create_table(
        "tune_ways",
        sa.Column("run_id", NUMBER, autoincrement=False, nullable=False),
        sa.Column("drill", sa.String(200), nullable=False),
        sa.Column("played", sa.Integer, nullable=False),
        sa.Column("clean", sa.Integer, nullable=False),
        sa.PrimaryKeyConstraint("run_id", "drill", name="pk_tune_ways"),
        sa.ForeignKeyConstraint(["run_id"], ["tune_runs.id"], name="fk_tune_ways_tune_runs", ondelete="CASCADE"),
        sqlite_with_rowid=False,
    )
