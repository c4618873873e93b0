"""Free playing: takes, every ornament in them, and how each went."""

import sqlalchemy as sa
from alembic import op

revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None

NUMBER = sa.BigInteger().with_variant(sa.Integer, "sqlite")


def upgrade() -> None:
    """Make the tables."""
    op.create_table(
        "free_runs",
        sa.Column("id", NUMBER, nullable=False),
        sa.Column("key", sa.String(32), nullable=False),
        sa.Column("player_id", NUMBER, nullable=False),
        sa.Column("began_ns", sa.BigInteger, nullable=False),
        sa.Column("utc_offset_s", sa.Integer, nullable=False),
        sa.Column("day", sa.String(10), nullable=False),
        sa.Column("until_ns", sa.BigInteger, nullable=False),
        sa.Column("why", sa.Text),
        sa.Column("standard", sa.String(80), nullable=False),
        sa.Column("input", sa.Text, nullable=False),
        sa.Column("chanter", sa.Text, nullable=False),
        sa.Column("profile", sa.Text, nullable=False),
        sa.Column("calibration_ns", sa.BigInteger),
        sa.Column("ornaments", sa.Integer, nullable=False),
        sa.Column("clean", sa.Integer, nullable=False),
        sa.Column("judge", sa.String(40), nullable=False),
        sa.Column("judged_ns", sa.BigInteger),
        sa.PrimaryKeyConstraint("id", name="pk_free_runs"),
        sa.UniqueConstraint("key", name="uq_free_runs_key"),
        sa.ForeignKeyConstraint(["player_id"], ["players.id"], name="fk_free_runs_players", ondelete="CASCADE"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_free_runs_player_id_day", "free_runs", ["player_id", "day"])
    op.create_table(
        "free_ways",
        sa.Column("run_id", NUMBER, autoincrement=False, nullable=False),
        sa.Column("ornament", sa.String(80), nullable=False),
        sa.Column("drill", sa.String(200), nullable=False),
        sa.Column("in_tune", sa.Boolean, nullable=False),
        sa.Column("family", sa.String(80), nullable=False),
        sa.Column("played", sa.Integer, nullable=False),
        sa.Column("clean", sa.Integer, nullable=False),
        sa.Column("held_ns", sa.BigInteger),
        sa.Column("quick_ns", sa.BigInteger),
        sa.Column("faults", sa.Text, nullable=False),
        sa.PrimaryKeyConstraint("run_id", "ornament", "drill", "in_tune", name="pk_free_ways"),
        sa.ForeignKeyConstraint(["run_id"], ["free_runs.id"], name="fk_free_ways_free_runs", ondelete="CASCADE"),
        sqlite_with_rowid=False,
    )
    op.create_table(
        "free_takes",
        sa.Column("run_id", NUMBER, autoincrement=False, nullable=False),
        sa.Column("part", sa.Integer, nullable=False),
        sa.Column("whole", sa.Boolean, nullable=False),
        sa.Column("midi", sa.LargeBinary, nullable=False),
        sa.PrimaryKeyConstraint("run_id", "part", name="pk_free_takes"),
        sa.ForeignKeyConstraint(["run_id"], ["free_runs.id"], name="fk_free_takes_free_runs", ondelete="CASCADE"),
        sqlite_with_rowid=False,
    )
    op.create_table(
        "free_results",
        sa.Column("run_id", NUMBER, autoincrement=False, nullable=False),
        sa.Column("part", sa.Integer, nullable=False),
        sa.Column("result", sa.LargeBinary, nullable=False),
        sa.PrimaryKeyConstraint("run_id", "part", name="pk_free_results"),
        sa.ForeignKeyConstraint(["run_id"], ["free_runs.id"], name="fk_free_results_free_runs", ondelete="CASCADE"),
        sqlite_with_rowid=False,
    )
