"""What was recognised, as programs read it."""

from chanterd.listening.passages import Passage
from chanterd.listening.report import heard_ornament, not_judged, passage_row
from chanterd.music.units import Ns
from tests.listening.played_notes import found_in, steady


def test_an_ornament_has_its_steps_the_theme_note_last() -> None:
    """With what each is for, and its time."""
    one = heard_ornament(found_in("B700 G60 d30 G60 c700")[0], steady())
    assert (one["ornament"], one["drill"], one["or"], one["clean"]) == ("grip", "grip from B to C", [], True)
    assert (one["start_ms"], one["theme_ms"]) == (1700.0, 1850.0)
    assert [(step["note"], step["kind"], step["length_ms"]) for step in one["steps"]] == [
        ("low G", "held", 60.0),
        ("D", "quick", 30.0),
        ("low G", "held", 60.0),
        ("C", "theme", 700.0),
    ]


def test_a_missing_step_is_listed_without_a_time() -> None:
    """And the fault says which."""
    good = "A700 g35 c60 d30 c700"
    one = heard_ornament(found_in(f"{good} {good} {good} A700 c60 d30 c700")[-1], steady())
    assert one["steps"][0] == {
        "note": "high G",
        "kind": "quick",
        "state": "missing",
        "played_note": None,
        "onset_ms": None,
        "length_ms": None,
    }
    assert one["said"] == "You left out the G gracenote."


def test_a_theme_note_that_melted_is_the_last_step_all_the_same() -> None:
    """A grip to low G ends with the low G that sounds on."""
    one = heard_ornament(found_in("c700 G60 d30 G700")[0], steady())
    assert [step["kind"] for step in one["steps"]][-1] == "theme"


def test_what_is_no_ornament_is_told_by_its_notes() -> None:
    """There is no name, no drill and no verdict."""
    one = heard_ornament(found_in("B600 e30 G30 f30 G30 a30 B600")[0], steady())
    assert (one["ornament"], one["drill"], one["clean"], one["faults"]) == (None, None, False, [])
    assert one["said"] == "No ornament of the book: E, low G, F, low G and high A before B."


def test_a_passage_has_the_members_of_its_kind() -> None:
    """The others are null."""
    row = passage_row(Passage(Ns(0), Ns(4_000_000_000), "silence"))
    assert row == {
        "start_ms": 0.0,
        "end_ms": 4000.0,
        "kind": "silence",
        "drill": None,
        "click_bpm": None,
        "tune": None,
        "from": None,
        "placement": not_judged(""),
    }
