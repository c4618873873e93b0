"""The first tables: players, runs, reps, steps, faults, takes."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None

NUMBER = sa.BigInteger().with_variant(sa.Integer, "sqlite")


def upgrade() -> None:
    """Make them."""
    _players()
    _runs()
    _reps()
    _takes()


def _players() -> None:
    op.create_table(
        "players",
        sa.Column("id", NUMBER, nullable=False),
        sa.Column("name", sa.String(80), nullable=False),
        sa.Column("folded", sa.String(160), nullable=False),
        sa.Column("began_ns", sa.BigInteger, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_players"),
        sa.UniqueConstraint("folded", name="uq_players_folded"),
        sqlite_autoincrement=True,
    )


def _runs() -> None:
    op.create_table(
        "runs",
        sa.Column("id", NUMBER, nullable=False),
        sa.Column("key", sa.String(32), nullable=False),
        sa.Column("player_id", NUMBER, nullable=False),
        sa.Column("began_ns", sa.BigInteger, nullable=False),
        sa.Column("utc_offset_s", sa.Integer, nullable=False),
        sa.Column("day", sa.String(10), nullable=False),
        sa.Column("until_ns", sa.BigInteger, nullable=False),
        sa.Column("why", sa.Text),
        sa.Column("drill", sa.Text, nullable=False),
        sa.Column("ornament", sa.String(80), nullable=False),
        sa.Column("family", sa.String(80), nullable=False),
        sa.Column("lead", sa.String(8), nullable=False),
        sa.Column("theme", sa.String(8), nullable=False),
        sa.Column("stage", sa.Integer),
        sa.Column("click_bpm", sa.Float, nullable=False),
        sa.Column("standard", sa.String(80), nullable=False),
        sa.Column("spread", sa.Float, nullable=False),
        sa.Column("layout", sa.String(80), nullable=False),
        sa.Column("walks", sa.Boolean, nullable=False),
        sa.Column("mode", sa.Text),
        sa.Column("rule", sa.Text),
        sa.Column("input", sa.Text, nullable=False),
        sa.Column("chanter", sa.Text, nullable=False),
        sa.Column("profile", sa.Text, nullable=False),
        sa.Column("calibration_ns", sa.BigInteger),
        sa.Column("lead_in_clicks", sa.Integer, nullable=False),
        sa.Column("reps", sa.Integer, nullable=False),
        sa.Column("played", sa.Integer, nullable=False),
        sa.Column("clean", sa.Integer, nullable=False),
        sa.Column("longest_row", sa.Integer, nullable=False),
        sa.Column("heard", sa.Integer, nullable=False),
        sa.Column("bias_ns", sa.BigInteger),
        sa.Column("spread_ns", sa.BigInteger),
        sa.Column("held_ns", sa.BigInteger),
        sa.Column("held_spread_ns", sa.BigInteger),
        sa.Column("quick_ns", sa.BigInteger),
        sa.Column("quick_spread_ns", sa.BigInteger),
        sa.Column("judge", sa.String(40), nullable=False),
        sa.Column("judged_ns", sa.BigInteger),
        sa.PrimaryKeyConstraint("id", name="pk_runs"),
        sa.UniqueConstraint("key", name="uq_runs_key"),
        sa.ForeignKeyConstraint(["player_id"], ["players.id"], name="fk_runs_players", ondelete="CASCADE"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_runs_player_day", "runs", ["player_id", "day"])
    op.create_index("ix_runs_player_way", "runs", ["player_id", "ornament", "lead", "theme", "day"])


def _reps() -> None:
    op.create_table(
        "reps",
        sa.Column("run_id", NUMBER, nullable=False),
        sa.Column("rep", sa.Integer, nullable=False),
        sa.Column("clean", sa.Boolean, nullable=False),
        sa.Column("skipped", sa.Boolean, nullable=False),
        sa.Column("anchor_ns", sa.BigInteger),
        sa.Column("evenness", sa.Float),
        sa.Column("result", sa.LargeBinary, nullable=False),
        sa.PrimaryKeyConstraint("run_id", "rep", name="pk_reps"),
        sa.ForeignKeyConstraint(["run_id"], ["runs.id"], name="fk_reps_runs", ondelete="CASCADE"),
        sqlite_with_rowid=False,
    )
    op.create_table(
        "steps",
        sa.Column("run_id", NUMBER, nullable=False),
        sa.Column("rep", sa.Integer, nullable=False),
        sa.Column("step", sa.Integer, nullable=False),
        sa.Column("note", sa.String(8), nullable=False),
        sa.Column("kind", sa.String(8), nullable=False),
        sa.Column("state", sa.String(12), nullable=False),
        sa.Column("played_note", sa.String(8)),
        sa.Column("expected_ns", sa.BigInteger, nullable=False),
        sa.Column("onset_ns", sa.BigInteger),
        sa.Column("deviation_ns", sa.BigInteger),
        sa.Column("length_ns", sa.BigInteger),
        sa.PrimaryKeyConstraint("run_id", "rep", "step", name="pk_steps"),
        sa.ForeignKeyConstraint(
            ["run_id", "rep"], ["reps.run_id", "reps.rep"], name="fk_steps_reps", ondelete="CASCADE"
        ),
        sqlite_with_rowid=False,
    )
    op.create_table(
        "faults",
        sa.Column("run_id", NUMBER, nullable=False),
        sa.Column("rep", sa.Integer, nullable=False),
        sa.Column("number", sa.Integer, nullable=False),
        sa.Column("fault", sa.String(40), nullable=False),
        sa.Column("step", sa.Integer),
        sa.Column("said", sa.Text, nullable=False),
        sa.PrimaryKeyConstraint("run_id", "rep", "number", name="pk_faults"),
        sa.ForeignKeyConstraint(
            ["run_id", "rep"], ["reps.run_id", "reps.rep"], name="fk_faults_reps", ondelete="CASCADE"
        ),
        sqlite_with_rowid=False,
    )


def _takes() -> None:
    op.create_table(
        "takes",
        sa.Column("run_id", NUMBER, nullable=False),
        sa.Column("part", sa.Integer, nullable=False),
        sa.Column("whole", sa.Boolean, nullable=False),
        sa.Column("midi", sa.LargeBinary, nullable=False),
        sa.PrimaryKeyConstraint("run_id", "part", name="pk_takes"),
        sa.ForeignKeyConstraint(["run_id"], ["runs.id"], name="fk_takes_runs", ondelete="CASCADE"),
        sqlite_with_rowid=False,
    )
