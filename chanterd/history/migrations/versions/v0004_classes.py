"""Classes: what was called, how close together the band played, and whose runs belong to it."""

import sqlalchemy as sa
from alembic import op

from chanterd.history.packed import PackedJson

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None

NUMBER = sa.BigInteger().with_variant(sa.Integer, "sqlite")


def upgrade() -> None:
    """Make the tables."""
    op.create_table(
        "classes",
        sa.Column("id", NUMBER, nullable=False),
        sa.Column("key", sa.String(32), nullable=False),
        sa.Column("began_ns", sa.BigInteger, nullable=False),
        sa.Column("utc_offset_s", sa.Integer, nullable=False),
        sa.Column("day", sa.String(10), nullable=False),
        sa.Column("until_ns", sa.BigInteger, nullable=False),
        sa.Column("over", sa.Boolean, nullable=False),
        sa.Column("drill", sa.Text, nullable=False),
        sa.Column("click_bpm", sa.Float, nullable=False),
        sa.Column("standard", sa.String(80), nullable=False),
        sa.Column("layout", sa.String(80), nullable=False),
        sa.Column("rule", sa.Text, nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_classes"),
        sa.UniqueConstraint("key", name="uq_classes_key"),
        sqlite_autoincrement=True,
    )
    op.create_table(
        "class_reps",
        sa.Column("class_id", NUMBER, autoincrement=False, nullable=False),
        sa.Column("number", sa.Integer, nullable=False),
        sa.Column("click_bpm", sa.Float, nullable=False),
        sa.Column("seats", sa.Integer, nullable=False),
        sa.Column("spread_ms", sa.Float, nullable=True),
        sa.Column("together_ms", sa.Float, nullable=True),
        sa.Column("steps", PackedJson, nullable=False),
        sa.PrimaryKeyConstraint("class_id", "number", name="pk_class_reps"),
        sa.ForeignKeyConstraint(["class_id"], ["classes.id"], name="fk_class_reps_classes", ondelete="CASCADE"),
        sqlite_with_rowid=False,
    )
    op.create_table(
        "class_runs",
        sa.Column("class_id", NUMBER, autoincrement=False, nullable=False),
        sa.Column("run_key", sa.String(32), nullable=False),
        sa.Column("seat", sa.String(8), nullable=False),
        sa.PrimaryKeyConstraint("class_id", "run_key", name="pk_class_runs"),
        sa.ForeignKeyConstraint(["class_id"], ["classes.id"], name="fk_class_runs_classes", ondelete="CASCADE"),
        sqlite_with_rowid=False,
    )
