"""Which ornament it was, through the whole run: simulated players who play another one than the drill's."""

import pytest

from chanterd.judging.report import RepResult
from chanterd.music.drill import all_drills, drill_from_words, make_drill
from chanterd.music.note import Note
from chanterd.music.ornament import Kind
from tests.judging.played_reps import Played, played_run

TEMPI = (40.0, 80.0, 120.0)


def instead(words: str, other: str, bpm: float = 60.0) -> list[RepResult]:
    """Another ornament between the same notes, its own beat where the asked one has its own."""
    asked = drill_from_words(words)
    played = drill_from_words(f"{other} from {asked.lead.words} to {asked.theme.words}")
    notes = [step.note for step in played.steps[:-1]]
    return played_run(words, bpm, Played(steps=notes, beat_place=played.anchor_step))


@pytest.mark.parametrize("bpm", TEMPI)
@pytest.mark.parametrize(
    ("words", "other", "said"),
    [
        ("throw on D from low A", "heavy throw on D", "You played a heavy throw on D, not a throw on D."),
        ("heavy throw on D from B", "throw on D", "You played a throw on D, not a heavy throw on D."),
        ("doubling from low A to C", "half doubling", "You played a half doubling, not a doubling."),
        ("grip from B to C", "doubling", "You played a doubling, not a grip."),
        ("birl from E", "G gracenote birl", "You played a G gracenote birl, not a birl."),
    ],
)
def test_an_ornament_played_for_another_is_named(words: str, other: str, said: str, bpm: float) -> None:
    """At every tempo, and as the first thing that is said."""
    assert {rep["said"] for rep in instead(words, other, bpm)} == {said}


def test_it_is_named_once_and_not_note_by_note() -> None:
    """No extra notes, wrong notes or missing steps beside it; with what to do about it."""
    (fault,) = instead("throw on D from low A", "heavy throw on D")[1]["faults"]
    assert fault["fault"] == "wrong ornament"
    assert fault["do"].startswith("Play the throw on D slowly, note by note: low G, D gracenote on the beat, C, then D")


def test_a_whole_ornament_in_place_of_a_stage_is_named() -> None:
    """Somebody who builds up a doubling, and plays all of it."""
    steps = [step.note for step in drill_from_words("doubling from low A to C").steps[:-1]]
    reps = played_run("doubling from low A to C, stage 1", 60.0, Played(steps=steps, beat_place=0))
    assert reps[1]["said"] == "You played the whole doubling, not stage 1."


def test_what_is_only_left_out_is_no_ornament_of_another_chapter() -> None:
    """A grip without its D gracenote sounds like a strike: still it is the D gracenote that is missing."""
    reps = played_run("grip from B to C", 60.0, Played(steps=[Note.LOW_G]))
    assert "You left out the D gracenote." in [fault["said"] for fault in reps[1]["faults"]]
    assert {fault["fault"] for fault in reps[1]["faults"]} == {"missing step"}


def test_one_wrong_note_is_a_wrong_note() -> None:
    """There is a grip with an E gracenote; who plays an E for the D played an E."""
    reps = played_run("grip from B to C", 60.0, Played(steps=[Note.LOW_G, Note.E, Note.LOW_G]))
    assert reps[1]["said"] == "You played E instead of the D gracenote."


def test_no_ornament_of_the_book_is_taken_for_another() -> None:
    """Every ornament, on one way in: played as asked it is never named as a wrong one."""
    seen: set[str] = set()
    for drill in all_drills():
        if drill.ornament.name in seen:
            continue
        seen.add(drill.ornament.name)
        reps = played_run(make_drill(drill.ornament, drill.lead, drill.theme).words, 60.0, Played(), reps=2)
        assert "wrong ornament" not in [fault["fault"] for rep in reps for fault in rep["faults"]], drill.words


@pytest.mark.parametrize(("words", "bpm"), [("birl from E", 160.0), ("taorluath from C to low A", 160.0)])
@pytest.mark.parametrize("times", [1.8, 2.2, 2.6])
def test_an_ornament_that_is_slower_as_a_whole_was_played(words: str, bpm: float, times: float) -> None:
    """All its steps longer alike: too slow, or late by then, but nothing was left out and nothing put in."""
    steps = drill_from_words(words).steps[:-1]
    length_ms = {place: times * (40.0 if step.kind is Kind.QUICK else 55.0) for place, step in enumerate(steps)}
    rep = played_run(words, bpm, Played(), Played(length_ms=length_ms))[1]
    assert all(step["state"] == "played" for step in rep["steps"])
    assert {fault["fault"] for fault in rep["faults"]}.isdisjoint({"missing step", "wrong note", "extra note"})


def test_a_step_that_came_early_is_not_another_one_while_it_is_left_out() -> None:
    """A throw whose low G is early and whose D gracenote is missing: the D gracenote is, not the low G."""
    rep = played_run(
        "throw on D from low A", 76.0, Played(), Played(steps=[Note.LOW_G, Note.C], length_ms={0: 250.0}, beat_place=1)
    )[1]
    assert [step["state"] for step in rep["steps"]] == ["played", "missing", "played", "played"]
