"""The judge of a run: each rep by its own segment, with the rep before in mind, and advice for each fault."""

from chanterd.following.reading import ExtraKind, StepState
from chanterd.judging.judge import Judge
from chanterd.music.note import Note
from tests.judging.followed_reps import STEADY, Rep


def test_each_rep_is_judged_by_its_own_drill() -> None:
    """In a scale of drills the next rep asks other notes: the advice and the names are those of the rep."""
    judge = Judge(STEADY, 1e9)
    first = Rep(states={1: StepState.MISSING})
    second = Rep(words="taorluath from C to low A", rep=1, states={3: StepState.MISSING})
    judged = [judge.judge(rep.measured(), rep.segment, None) for rep in (first, second)]
    assert [one.verdict.faults[0].said for one in judged] == [
        "You left out the D gracenote.",
        "You left out the E gracenote.",
    ]
    assert ["grip" in one.advice[0].said for one in judged] == [False, False]
    assert ["D gracenote" in one.advice[0].said for one in judged] == [True, False]


def test_every_fault_has_its_advice_in_the_same_order() -> None:
    """However many there are; the second rep of the same kind gets the same."""
    noise = (Note.LOW_A, 830.0, 45.0, ExtraKind.CROSSING_NOISE)
    judge, rep = Judge(STEADY, 1e9), Rep(length_ms={2: 5.0}, states={1: StepState.MISSING}, extras=[noise])
    first, again = (judge.judge(rep.measured(), rep.segment, None) for _ in range(2))
    assert [fault.fault for fault in first.verdict.faults] == ["missing step", "crushed", "crossing noise"]
    assert first.advice == again.advice
    assert len(first.advice) == 3


def test_a_pause_is_held_against_the_rep_right_before_only() -> None:
    """With a rest between, the next lead starts afresh."""
    judge, held = Judge(STEADY, 1e9), Rep(theme_sounds=True)
    late = Rep(rep=2, off_ms={-1: 400.0})
    rest = Rep(rep=1, states=dict.fromkeys(range(-1, 4), StepState.MISSING))
    for rep in (held, rest):
        judge.judge(rep.measured(), rep.segment, None)
    assert judge.judge(late.measured(), late.segment, None).verdict.clean
