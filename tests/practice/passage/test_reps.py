"""The ornaments of a passage as reps."""

from chanterd.music.tunes.passage import make_passage
from chanterd.practice.feedback.schedule import EVERY_REP, Schedule
from chanterd.practice.passage.reps import OrnamentReps
from chanterd.practice.passage.rounds import OrnamentPlayed
from tests.bench.tune_performances import CONDITIONS, sample, shipped

RUN = sample("seven-gulls", CONDITIONS["clean"], 42, make_passage(shipped("seven-gulls"), 6, 13, loops=True)).run()
PLAYED = [OrnamentPlayed(note, 0) for note in RUN.since(0) if note.judged is not None]


def test_ornaments_are_numbered_as_they_are_played() -> None:
    """Each with what was to be played there."""
    reps = OrnamentReps(EVERY_REP, 30e6)
    found = [reps.take(one) for one in PLAYED]
    assert [one[1]["rep"] for one in found if one] == list(range(len(PLAYED)))
    assert next(one[0].drill.words for one in found if one) == "doubling from E to E"
    assert reps.feedback.shown["played"] == len(PLAYED)


def test_a_schedule_counts_them() -> None:
    """Three together are shown with the third."""
    reps = OrnamentReps(Schedule("three", "Three together.", together=3), 30e6)
    withheld = []
    for one in PLAYED[:4]:
        reps.take(one)
        withheld.append(reps.feedback.shown["withheld"])
    assert withheld == [[0], [0, 1], [], [3]]


def test_a_note_without_an_ornament_is_no_rep() -> None:
    """There is nothing of it to be shown."""
    plain = next(note for note in RUN.since(0) if note.judged is None)
    assert OrnamentReps(EVERY_REP, 30e6).take(OrnamentPlayed(plain, 0)) is None
