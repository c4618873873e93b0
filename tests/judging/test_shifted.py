"""Measures held against another pulse than the asked one."""

from chanterd.judging.shifted import moved, moved_rep
from chanterd.music.units import NS_PER_MS, Ns
from tests.judging.followed_reps import Rep


def test_only_the_expectation_moves() -> None:
    """A rep 300 ms late by the grid is on time by a pulse that is 300 ms late; when it sounded stays."""
    rep = Rep(off_ms=dict.fromkeys(range(-1, 4), 300.0)).measured()
    found = moved_rep(rep, Ns(300 * NS_PER_MS), Ns(280 * NS_PER_MS))
    assert [step.deviation_ns for step in (found.lead, *found.steps)] == [20 * NS_PER_MS, 0, 0, 0, 0]
    assert [step.onset_ns for step in found.steps] == [step.onset_ns for step in rep.steps]
    assert moved(rep.lead, Ns(100 * NS_PER_MS)).deviation_ns == 200 * NS_PER_MS
