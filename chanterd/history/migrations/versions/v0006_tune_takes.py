"""Runs through tunes with their takes and all that was judged, to be looked at, heard and judged again."""

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None

NUMBER = sa.BigInteger().with_variant(sa.Integer, "sqlite")


def upgrade() -> None:
    """Add the columns, empty for older runs, and the tables."""
    for column in (
        sa.Column("utc_offset_s", sa.Integer, nullable=False, server_default="0"),
        sa.Column("until_ns", sa.BigInteger, nullable=False, server_default="0"),
        sa.Column("why", sa.Text),
        sa.Column("title", sa.Text, nullable=False, server_default=""),
        sa.Column("written", sa.String(64)),
        sa.Column("asked_bpm", sa.Float),
        sa.Column("input", sa.Text, nullable=False, server_default=""),
        sa.Column("chanter", sa.Text, nullable=False, server_default=""),
        sa.Column("profile", sa.Text),
        sa.Column("calibration_ns", sa.BigInteger),
        sa.Column("lead_in_clicks", sa.Integer, nullable=False, server_default="0"),
        sa.Column("judge", sa.String(40)),
        sa.Column("judged_ns", sa.BigInteger),
    ):
        op.add_column("tune_runs", column)
    op.execute("UPDATE tune_runs SET until_ns = began_ns, why = 'stopped'")  # until now only what was over was kept
    op.create_table(
        "tune_takes",
        sa.Column("run_id", NUMBER, autoincrement=False, nullable=False),
        sa.Column("part", sa.Integer, nullable=False),
        sa.Column("whole", sa.Boolean, nullable=False),
        sa.Column("midi", sa.LargeBinary, nullable=False),
        sa.PrimaryKeyConstraint("run_id", "part", name="pk_tune_takes"),
        sa.ForeignKeyConstraint(["run_id"], ["tune_runs.id"], name="fk_tune_takes_tune_runs", ondelete="CASCADE"),
        sqlite_with_rowid=False,
    )
    op.create_table(
        "tune_results",
        sa.Column("run_id", NUMBER, autoincrement=False, nullable=False),
        sa.Column("result", sa.LargeBinary, nullable=False),
        sa.PrimaryKeyConstraint("run_id", name="pk_tune_results"),
        sa.ForeignKeyConstraint(["run_id"], ["tune_runs.id"], name="fk_tune_results_tune_runs", ondelete="CASCADE"),
        sqlite_with_rowid=False,
    )
