"""The order of the prices: what is argued for in ``cost`` is kept, whatever the figures are tuned to."""

from chanterd.following.cost import STANDARD_COSTS as COSTS


def test_a_wrong_note_is_likelier_than_one_missing_and_one_too_many() -> None:
    """But dearer than either alone."""
    assert max(COSTS.missing, COSTS.extra) < COSTS.wrong_note < COSTS.missing + COSTS.extra


def test_lateness_alone_never_makes_a_right_note_missing() -> None:
    """However late or uneven, a step played in order costs no more than one missing and one too many."""
    assert max(COSTS.late, COSTS.late_lead, COSTS.uneven) <= COSTS.missing + COSTS.extra


def test_the_likelier_an_unasked_note_the_cheaper() -> None:
    """The fingers crossing, then any short noise, then a whole note."""
    assert COSTS.crossing < COSTS.short_extra < COSTS.extra


def test_what_cannot_be_heard_is_nearly_free_to_leave_out() -> None:
    """A step that melts into the sounding note is not missed."""
    assert 0 < COSTS.melted < COSTS.crossing


def test_a_rest_is_cheaper_than_its_steps_one_by_one() -> None:
    """Who plays nothing of a rep rests; even the shortest drill has a lead, a step and a theme."""
    assert COSTS.skipped < 2 * COSTS.missing + COSTS.no_theme


def test_a_false_start_is_likelier_than_one_more_after_the_end() -> None:
    """Of two runs at an ornament the one that leads on to the theme is the one that counts."""
    assert COSTS.before_times < 1 < COSTS.after_times


def test_early_is_suspected_sooner_than_late() -> None:
    """What comes early may be the end of something else."""
    assert COSTS.early_clicks < COSTS.late_clicks
