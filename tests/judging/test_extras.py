"""What was played besides the drill, through the whole run: simulated players who add a movement at the end."""

import pytest

from chanterd.following.reading import ExtraKind
from chanterd.judging.verdict import Verdict
from chanterd.music.drill import all_drills, drill_from_words
from chanterd.music.note import Note
from chanterd.music.ornament import Kind
from tests.judging.followed_reps import Rep
from tests.judging.played_reps import Played, played_run

TEMPI = (40.0, 80.0, 120.0, 200.0)


@pytest.mark.parametrize("bpm", TEMPI)
@pytest.mark.parametrize(
    ("words", "name"),
    [
        ("G gracenote birl from E", "a third tap"),
        ("birl from E", "a third tap"),
        ("doubling from low A to C", "a second D gracenote"),
        ("doubling from B to E", "a second F gracenote"),
        ("strike from B to low A", "a second tap"),
        ("taorluath from C to low A", "a second E gracenote"),
        ("G gracenote from C to low A", "a second G gracenote"),
    ],
)
def test_a_movement_added_at_the_end_is_named_and_the_opening_stays_right(words: str, name: str, bpm: float) -> None:
    """In each rep, on the beat or a little off it: one extra note, and the step on the beat is where it was."""
    drill = drill_from_words(words)
    close = drill.steps[-2].note
    for off_ms in (4.0, -15.0, 20.0):
        for rep in played_run(words, bpm, Played(added=(close, drill.theme), off_ms=off_ms)):
            assert [fault["fault"] for fault in rep["faults"]] == ["extra note"], rep["said"]
            assert rep["said"].startswith(f"Extra note: {name}, ")
            assert rep["anchor_ms"] == pytest.approx(off_ms, abs=0.01)


def test_it_holds_for_every_ornament_of_the_book_that_closes_with_a_quick_note() -> None:
    """One way in of each: the added movement is the only fault, or with it the whole is too slow for the tempo."""
    seen: set[str] = set()
    for drill in all_drills():
        name = drill.ornament.name
        if name in seen or len(drill.steps) < 2 or drill.steps[-2].kind is not Kind.QUICK:
            continue
        seen.add(name)
        reps = played_run(drill.words, 60.0, Played(added=(drill.steps[-2].note, drill.theme), off_ms=4.0))
        wrong = [rep["said"] for rep in reps if "extra note" not in [fault["fault"] for fault in rep["faults"]]]
        assert not wrong, f"{drill.words}: {wrong}"
        assert [rep["anchor_ms"] for rep in reps] == [pytest.approx(4.0, abs=0.01)] * len(reps), drill.words
    assert len(seen) > 40


def test_another_movement_at_the_end_has_its_own_name() -> None:
    """An F gracenote behind a grip: it is no second one, and no step of the drill."""
    reps = played_run("grip from B to C", 60.0, Played(added=(Note.F, Note.C)))
    assert reps[1]["said"].startswith("Extra note: an F gracenote, 3")


def test_the_note_that_comes_back_is_no_fault() -> None:
    """The lead after a stray note in its midst, and the theme note after one: one fault each, the stray note."""

    def verdict(*extras: tuple[Note, float, float]) -> Verdict:
        return Rep(
            off_ms={-1: 300.0} if extras[0][1] < 300 else {},
            extras=[(note, at, length, ExtraKind.EXTRA_NOTE) for note, at, length in extras],
        ).judged()

    lead = verdict((Note.B, 0.0, 200.0), (Note.F, 200.0, 100.0))
    assert [fault.said for fault in lead.faults if fault.fault == "extra note"] == ["Extra note: F, 100 ms."]
    theme = verdict((Note.F, 1200.0, 150.0), (Note.C, 1350.0, 400.0))
    assert [fault.said for fault in theme.faults if fault.fault == "extra note"] == ["Extra note: F, 150 ms."]


def test_a_note_before_the_ornament_is_no_movement_of_it() -> None:
    """An E in the note before a taorluath is an E, and no second E gracenote: the first is still to come."""
    rep = Rep(
        words="taorluath from C to low A",
        extras=[(Note.E, 200.0, 93.0, ExtraKind.EXTRA_NOTE), (Note.C, 293.0, 54.0, ExtraKind.EXTRA_NOTE)],
    )
    assert [fault.said for fault in rep.judged().faults] == ["Extra note: E, 93 ms.", "Extra note: C, 54 ms."]
