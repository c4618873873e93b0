"""The order of the prices: what is argued for in ``cost`` is kept, whatever the figures are tuned to."""

from chanterd.following.cost import STANDARD_COSTS as COSTS


def test_a_wrong_note_is_likelier_than_one_missing_and_one_too_many() -> None:
    """But dearer than either alone."""
    assert max(COSTS.missing, COSTS.extra) < COSTS.wrong_note < COSTS.missing + COSTS.extra


def test_lateness_alone_never_makes_a_right_note_missing() -> None:
    """However late, a step played in order is still that step."""
    assert COSTS.lateness < COSTS.missing + COSTS.extra


def test_the_likelier_an_unasked_note_the_cheaper() -> None:
    """The fingers crossing, then any short noise, then a whole note."""
    assert COSTS.crossing < COSTS.short_extra < COSTS.extra


def test_what_cannot_be_heard_is_nearly_free_to_leave_out() -> None:
    """A step that melts into the sounding note is not missed."""
    assert 0 < COSTS.melted < COSTS.crossing
