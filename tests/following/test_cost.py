"""The order of the prices: what is argued for in ``cost`` is kept, whatever the figures are tuned to."""

from chanterd.following.cost import STANDARD_COSTS as COSTS


def test_a_wrong_note_is_likelier_than_one_missing_and_one_too_many() -> None:
    """But dearer than either alone."""
    assert max(COSTS.missing, COSTS.extra) < COSTS.wrong_note < COSTS.missing + COSTS.extra


def test_lateness_alone_never_makes_a_right_note_missing() -> None:
    """However late or uneven, a step played in order costs no more than one missing and one too many."""
    assert max(COSTS.late, COSTS.late_lead, COSTS.uneven) <= COSTS.missing + COSTS.extra


def test_who_has_not_stumbled_is_rather_early_than_late_at_another_rep() -> None:
    """Half a click off the one way or the other: no rep is left out or begun a rep late for that."""
    assert 0 < COSTS.late_unhindered <= COSTS.early < COSTS.missing


def test_the_likelier_an_unasked_note_the_cheaper() -> None:
    """The fingers crossing, then any short noise, then a whole note."""
    assert COSTS.crossing < COSTS.short_extra < COSTS.extra


def test_what_cannot_be_heard_is_nearly_free_to_leave_out() -> None:
    """A step that melts into the sounding note is not missed."""
    assert 0 < COSTS.melted < COSTS.crossing


def test_a_rest_is_cheaper_than_its_steps_one_by_one() -> None:
    """Who plays nothing of a rep rests; even the shortest drill has a lead, a step and a theme."""
    assert COSTS.skipped < 2 * COSTS.missing + COSTS.no_theme


def test_of_two_runs_at_an_ornament_the_one_that_leads_on_to_the_theme_counts() -> None:
    """What is too much rather comes before the lead, then before the ornament, then inside it, and last behind it."""
    assert 0 < COSTS.broken_lead < COSTS.broken < COSTS.broken_theme


def test_a_lead_after_stray_notes_is_rather_the_lead_than_none() -> None:
    """Though they are the end of the rep before, or run on into it; it takes both to doubt it."""
    assert max(COSTS.astray, COSTS.hasty) < COSTS.missing + COSTS.extra < COSTS.astray + COSTS.hasty


def test_the_theme_is_the_last_to_be_left_out_or_mistaken() -> None:
    """The melody rests on it; and mistaken is likelier than one missing and one too many."""
    assert COSTS.missing < COSTS.no_theme
    assert COSTS.wrong_note < COSTS.wrong_theme < COSTS.no_theme + COSTS.extra


def test_a_stub_is_rather_a_note_of_the_melody_than_none() -> None:
    """A lead or theme cut short is still cheaper than none at all."""
    assert COSTS.stub < COSTS.missing
