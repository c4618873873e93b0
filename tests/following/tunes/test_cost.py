"""The prices of a tune: only their order is argued for."""

from chanterd.following.tunes.cost import STANDARD_TUNE_COSTS as COSTS


def test_a_slip_is_cheaper_than_a_leap_and_a_leap_than_two() -> None:
    """Else each slip would be read as a leap, or no leap would ever be found."""
    assert COSTS.melted < COSTS.missing_more < COSTS.missing
    assert max(COSTS.missing, COSTS.wrong_note) < COSTS.missing + COSTS.extra
    assert max(COSTS.wrong_note, COSTS.wrong_theme, COSTS.no_note) < COSTS.bar_again < 2 * COSTS.missing
    assert COSTS.bar_again < COSTS.part < COSTS.found < COSTS.beam
    assert COSTS.blip < COSTS.short_extra < COSTS.extra < COSTS.held_extra


def test_time_alone_is_never_dearer_than_a_note() -> None:
    """Pointing is style, and a stop is no other note."""
    assert COSTS.uneven < COSTS.missing
