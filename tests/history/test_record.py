"""What the writer gets of a run, as a row."""

import json

from chanterd.history.players import Player
from chanterd.history.record import profile_json, run_row
from chanterd.history.schema import runs
from tests.history.practised_runs import begun, profile


def test_a_run_becomes_a_row_of_its_table() -> None:
    """Every name is a column; the drill is there in words and in parts."""
    row = run_row(begun(Player(1, "Ailsa"), "taorluath from C to low A, stage 2", 72.0))
    assert row.keys() <= set(runs.columns.keys())
    assert (row["ornament"], row["lead"], row["theme"], row["stage"]) == ("taorluath", "C", "low A", 2)
    assert (row["drill"], row["day"]) == ("taorluath from C to low A, stage 2", "2026-03-31")


def test_the_chanters_profile_is_kept_whole() -> None:
    """A profile may be changed later, and a take must be heard as it was."""
    kept = json.loads(profile_json(profile()))
    assert kept["notes"]["67"] == "low G"
    assert {*kept} == {"name", "notes", "channel", "drones", "bounce_ms"}
