"""What is on the wall: one word a seat, the band below, ten frames a second at most."""

from typing import Any, cast

import pytest

from chanterd.judging.ensemble import BandRep, OnsetSpread, StepSpread
from chanterd.judging.report import RepResult
from chanterd.music.units import NS_PER_MS, Ns
from chanterd.serving.wire.drill import DrillShown  # noqa: TC001 - named in a cast
from chanterd.serving.wire.wall import EVERY_NS, Board


def rep(number: int = 0, **changed: Any) -> RepResult:
    """A clean rep, or one with something else."""
    steps = [
        {"note": "low G", "kind": "held", "onset_ms": 840.0, "length_ms": 60.0},
        {"note": "D", "kind": "quick", "onset_ms": None, "length_ms": None},
        {"note": "C", "kind": "theme", "onset_ms": 1003.0, "length_ms": None},
    ]
    usual = {"rep": number, "clean": True, "skipped": False, "faults": [], "anchor_ms": 3.0, "steps": steps}
    return cast("RepResult", {**usual, **changed})


@pytest.fixture
def board() -> Board:
    """Two seats, a class that has begun."""
    made = Board()
    made.show([("1", "Ailsa", False), ("2", "Bram", True)])
    made.begin(cast("DrillShown", {"drill": "grip from B to C"}), 76.0)
    return made


def test_a_seat_shows_its_last_rep_from_its_beat(board: Board) -> None:
    """What did not sound has no bar; a seat without a rep has no word, and says that its chanter is away."""
    board.verdict("1", rep(4), 3, 1000.0)
    first, second = board.frame()["seats"]
    assert [(bar["note"], bar["at_ms"], bar["theme"]) for bar in first["bars"]] == [
        ("low G", -160.0, False),
        ("C", 3.0, True),
    ]
    assert (first["name"], first["word"], first["in_a_row"], first["away"]) == ("Ailsa", "clean", 3, False)
    assert (second["name"], second["word"], second["bars"], second["away"]) == ("Bram", "", [], True)


@pytest.mark.parametrize(("names", "shown"), [("names", "Ailsa"), ("numbers", "Seat 1"), ("nothing", "")])
def test_the_teacher_decides_whether_names_show(board: Board, names: Any, shown: str) -> None:
    """A learner is easily shamed on a wall (common practice, no source)."""
    board.names = names
    assert board.frame()["seats"][0]["name"] == shown


def test_ten_frames_a_second_and_none_without_a_change(board: Board) -> None:
    """However many verdicts come in between."""
    sent = []
    for ms in range(0, 1000, 5):
        board.verdict("1", rep(ms), 0, 0.0)
        frame = board.due(Ns(ms * NS_PER_MS))
        sent += [] if frame is None else [frame["rep"]]
    assert len(sent) == 10
    assert board.due(Ns(1100 * NS_PER_MS)) is not None
    assert board.due(Ns(1100 * NS_PER_MS + EVERY_NS)) is None


def test_a_frozen_wall_keeps_what_is_on_it(board: Board) -> None:
    """To talk about a rep while the class plays on; then the newest is shown again."""
    board.verdict("1", rep(4), 3, 1000.0)
    board.freeze(frozen=True)
    board.verdict("1", rep(5, clean=False, faults=[{"fault": "crushed"}]), 0, 3000.0)
    assert (board.frame()["state"], board.frame()["seats"][0]["rep"]) == ("frozen", 4)
    board.freeze(frozen=False)
    assert (board.frame()["state"], board.frame()["seats"][0]["rep"]) == ("playing", 5)


def test_the_band_is_every_onset_without_a_name(board: Board) -> None:
    """Rising, so that not even the order of seats shows."""
    onsets = StepSpread(0, "C", {"2": 9.0, "1": -4.04}, OnsetSpread(2, 2.5, 9.2))
    board.band(BandRep(3, 2, (onsets,), onsets.spread, 31.2))
    band = board.frame()["band"]
    assert band is not None
    assert band["steps"][0]["onsets_ms"] == [-4.0, 9.0]
    assert band["said"] == "On the beat you are 31 ms apart, as good ensembles are."
    assert band["trend"] == ""
