"""A ladder through a tune as a page shows it."""

from chanterd.music.tunes.excerpts import around, widths
from chanterd.music.units import Bpm
from chanterd.practice.ladder.climb import Happened, ladder
from chanterd.practice.ladder.rule import Rule
from chanterd.practice.ladder.widening import widening
from chanterd.practice.run import Tally
from chanterd.serving.wire.tune_ladder import tune_ladder_view
from tests.bench.tune_performances import shipped

CLEAN = [Happened.CLEAN]


def test_tempi_and_passages_are_both_rungs() -> None:
    """From the lowest up, where the player is and what is held."""
    tempi = Rule(Bpm(60.0), 4.0, 2, Bpm(68.0), 3, Bpm(66.0))
    shown = tune_ladder_view(tempi, ladder(tempi, CLEAN * 2), "")
    assert [(one["words"], one["here"], one["held"]) for one in shown["rungs"]] == [
        ("60", False, True),
        ("64", True, False),
        ("66", False, False),
        ("68", False, False),
    ]
    assert (shown["climbs"], shown["said"], shown["full_row"]) == ("tempo", "2 in a row. Up to 64.", "up to 68")
    tune = shipped("seven-gulls")
    wide = widening({"to": "bar", "in_a_row": 1}, Bpm(60.0), widths(tune, around(tune, 6)), 0)
    shown = tune_ladder_view(wide, ladder(wide, CLEAN), "")
    assert [(one["words"], one["here"], one["held"]) for one in shown["rungs"]] == [
        ("the ornament in bar 2 by itself", False, True),
        ("bar 2", True, False),
    ]
    assert shown["climbs"] == "width"


def test_once_it_is_over_it_leads_nowhere_and_is_summed_up() -> None:
    """What is said last stays."""
    tempi = Rule(Bpm(60.0), 4.0, 1, Bpm(60.0), 3)
    shown = tune_ladder_view(tempi, ladder(tempi, CLEAN), "", Tally(3, 1, 1))
    assert (shown["phase"], shown["full_row"], shown["no_row"]) == ("over", "", "")
    assert shown["whole"] == "The whole ladder: 1 of 3 rounds clean."
