"""The judge of a tune's ornaments: as of a drill's reps, without what a tune does not ask."""

from dataclasses import replace

import pytest

from chanterd.hearing.simulated_tune import TuneHabits
from chanterd.judging.tunes.report import NoteResult
from tests.bench.tune_performances import CONDITIONS, sample

MACHINE = TuneHabits()


def notes(habits: TuneHabits, name: str = "net-mender", standard: str = "steady") -> list[NoteResult]:
    """What became of each note."""
    return sample(name, habits, 21).run(standard=standard).found()["notes"]


@pytest.mark.parametrize("standard", ["learner", "steady", "competition"])
@pytest.mark.parametrize("name", ["net-mender", "lamp-at-quarry-hollow", "seven-gulls"])
def test_a_machine_is_clean_by_every_standard(name: str, standard: str) -> None:
    """Every ornament of every tune that ships."""
    found = [one["ornament"] for one in notes(MACHINE, name, standard) if one["ornament"] is not None]
    assert found
    assert [one["said"] for one in found if not one["clean"]] == []


@pytest.mark.parametrize("by", [0.5, 1.5])
def test_pointing_is_no_fault(by: float) -> None:
    """Stronger or weaker than written: off the beat nothing is early or late."""
    faults = [
        fault["fault"]
        for one in notes(replace(MACHINE, pointing=by))
        if one["ornament"] is not None
        for fault in one["ornament"]["faults"]
    ]
    assert not {"early", "late", "cut short", "wound up", "paused"} & set(faults)


def test_crushed_gracenotes_are_named_where_they_were() -> None:
    """Each that was shorter than the standard allows, and no other."""
    one = sample("lamp-at-quarry-hollow", CONDITIONS["crushed gracenotes"], 22)
    true = {(played.segment, played.time_through, played.step) for played in one.performance.truth if played.crushed}
    found = {
        (note["note"], note["pass"], fault["step"])
        for note in one.run().found()["notes"]
        if note["ornament"] is not None
        for fault in note["ornament"]["faults"]
        if fault["fault"] == "crushed"
    }
    assert true
    assert true <= found
    assert len(found - true) <= 0.1 * len(true) + 2  # fingers that are a little too quick by chance


def test_an_ornament_left_out_has_all_its_steps_missing() -> None:
    """Or melted into what sounded on; a melody note that melts for want of its gracenotes has no onset."""
    one = sample("net-mender", replace(MACHINE, left_out=0.3), 21)
    found = {(note["note"], note["pass"]): note for note in one.run().found()["notes"]}
    left_out = {key[:2] for key in one.performance.left_out}
    assert len(left_out) > 10
    for key in left_out:
        note = found[key]
        ornament = note["ornament"]
        assert ornament is not None
        assert {step["state"] for step in ornament["steps"][:-1]} <= {"missing", "merged"}
        assert not ornament["clean"]
        assert (note["onset_ms"] is None) == (note["state"] == "merged")
    assert any(found[key]["state"] == "merged" for key in left_out)


def test_steps_are_as_in_a_rep() -> None:
    """Every gracenote as written and, last, the melody note."""
    one = next(one for one in notes(MACHINE) if one["ornament"] and one["ornament"]["drill"] == "doubling from C to E")
    ornament = one["ornament"]
    assert ornament is not None
    assert ornament["gracenotes"] == ["high G", "E", "F"]
    assert [step["kind"] for step in ornament["steps"]] == ["quick", "held", "quick", "theme"]
    assert ornament["steps"][-1]["onset_ms"] == one["onset_ms"]
    assert ornament["steps"][-1]["deviation_ms"] == one["deviation_ms"]
