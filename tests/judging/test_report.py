"""A judged rep as plain data: the object that ``assess`` prints and the live frame carries."""

import json

import pytest
from pydantic import TypeAdapter, ValidationError

from chanterd.following.reading import ExtraKind, StepState
from chanterd.judging.report import RepResult, rep_result
from chanterd.music.note import Note
from tests.judging.followed_reps import Rep

BUSY = Rep(
    rep=2,
    off_ms={-1: 4.2, 0: 3.1, 3: 12.3},
    length_ms={2: 11.0},
    states={1: StepState.MISSING},
    wrong={0: Note.LOW_A},
    extras=[(Note.B, 3880.2, 9.0, ExtraKind.CROSSING_NOISE), (Note.C, 5001.0, None, ExtraKind.BOUNCE)],
)


def result(rep: Rep) -> RepResult:
    """As it would be printed, with a sentence."""
    return rep_result(rep.assessed(), "Said.")


def test_the_object_has_the_fields_that_other_programs_rely_on() -> None:
    """The Contract's names for a rep, its lead, its steps, its faults and its extras."""
    json_rep = result(BUSY)
    assert {"rep", "lead", "clean", "faults", "anchor_ms", "steps", "extras"} <= json_rep.keys()
    assert {"note", "expected_ms", "onset_ms", "deviation_ms", "length_ms"} <= json_rep["lead"].keys()
    for step in json_rep["steps"]:
        assert {"step", "note", "kind", "state", "expected_ms", "onset_ms", "deviation_ms", "length_ms"} <= step.keys()
    assert all(fault.keys() == {"fault", "step", "said", "do", "drill"} for fault in json_rep["faults"])
    assert all(extra.keys() == {"note", "onset_ms", "length_ms", "extra"} for extra in json_rep["extras"])


def test_times_are_milliseconds_from_the_start() -> None:
    """Rep 2 at 60 starts at 4000 ms; a deviation is + when late; words for notes, kinds and states."""
    json_rep = result(BUSY)
    assert (json_rep["rep"], json_rep["clean"], json_rep["skipped"], json_rep["anchor_ms"]) == (2, False, False, 12.3)
    assert (json_rep["lead"]["note"], json_rep["lead"]["expected_ms"], json_rep["lead"]["onset_ms"]) == (
        "B",
        4000.0,
        4004.2,
    )
    first, second, third, theme = json_rep["steps"]
    assert first == {
        "step": 0,
        "note": "low G",
        "kind": "held",
        "state": "wrong note",
        "played_note": "low A",
        "expected_ms": 4840.0,
        "onset_ms": 4843.1,
        "deviation_ms": 3.1,
        "length_ms": 60.0,
    }
    assert (second["kind"], second["state"], second["onset_ms"], second["deviation_ms"]) == (
        "quick",
        "missing",
        None,
        None,
    )
    assert "played_note" not in second
    assert (third["state"], third["length_ms"]) == ("played", 11.0)
    assert (theme["step"], theme["kind"], theme["note"], theme["onset_ms"]) == (3, "theme", "C", 5012.3)


def test_extras_and_faults_are_in_order() -> None:
    """Each extra with its kind; each fault with its step from 0, or none, and its sentence."""
    json_rep = result(BUSY)
    assert json_rep["extras"] == [
        {"note": "B", "onset_ms": 3880.2, "length_ms": 9.0, "extra": "crossing noise"},
        {"note": "C", "onset_ms": 5001.0, "length_ms": None, "extra": "bounce"},
    ]
    assert [(fault["fault"], fault["step"]) for fault in json_rep["faults"]] == [
        ("missing step", 1),
        ("wrong note", 0),
        ("crushed", 2),
    ]
    assert json_rep["said"] == "Said."


def test_a_beat_that_was_not_played_has_no_deviation() -> None:
    """Null, not 0: nothing was on the beat."""
    assert result(Rep(states={3: StepState.MISSING}))["anchor_ms"] is None
    assert result(Rep(states=dict.fromkeys(range(4), StepState.MISSING)))["skipped"]


@pytest.mark.parametrize("rep", [Rep(), BUSY, Rep(states=dict.fromkeys(range(-1, 4), StepState.MERGED))])
def test_it_is_json_and_keeps_to_its_own_type(rep: Rep) -> None:
    """Plain JSON without NaN, and valid by the schema made from the type, which takes no other field."""
    json_rep = json.loads(json.dumps(result(rep), allow_nan=False))
    adapter = TypeAdapter(RepResult)
    assert adapter.validate_python(json_rep) == json_rep
    with pytest.raises(ValidationError, match="Extra inputs are not permitted"):
        adapter.validate_python({**json_rep, "more": 1})
