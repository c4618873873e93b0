"""Faults in the order in which they matter."""

from chanterd.judging.fault import ORDER, RANK


def test_causes_come_before_what_they_make() -> None:
    """A missing step before a slow one, and what makes it late before the lateness (common practice, no source)."""
    assert RANK["wrong ornament"] < RANK["missing step"] < RANK["crushed"]
    assert max(RANK["wound up"], RANK["too slow"]) < RANK["late"]
    assert list(RANK) == list(ORDER)
