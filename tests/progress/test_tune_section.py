"""A tune in the report."""

from chanterd.progress.tune_section import MOST_ORNAMENTS, tempo_words, tune_section, tune_words
from chanterd.progress.tunes import TuneOrnament, TuneOverTime, TuneWeek

FIRST = TuneWeek("2026-03-02", 2, 100, 25, 76.0, 80.0)
LAST = TuneWeek("2026-03-23", 1, 50, 40, 82.0, 82.4)
GRIP = TuneOrnament("grip from B to C", 10, 1, 6, 5, 3)
TUNE = TuneOverTime("a", "A March", 3, 3, "2026-03-28", [FIRST, LAST], [GRIP])


def test_then_and_now_are_said_with_their_tempi() -> None:
    """The sentences and the row of each ornament."""
    section = tune_section(TUNE)
    assert section.heading == "Tune: A March"
    week = "in the week of 23 March 2026, 80 % at 82 clicks."
    assert section.said == (
        "Played on 3 days, in 3 runs, the last on 28 March 2026.",
        f"In the week of 2 March 2026, 25 % of its ornaments were clean, at 76 to 80 clicks; {week}",
    )
    assert section.table is not None
    assert section.table.rows == (("grip from B to C", "1 of 10 clean", "5 of 6 clean"),)


def test_one_week_has_no_then() -> None:
    """Nothing is compared with itself."""
    week = TuneOverTime("a", "A March", 1, 1, "2026-03-28", [LAST], [TuneOrnament("birl from E", 2, 1, 2, 1, 1)])
    assert tune_words(week) == [
        "Played on 1 day, in 1 run, the last on 28 March 2026.",
        "80 % of its ornaments were clean, at 82 clicks.",
    ]
    section = tune_section(week)
    assert section.table is not None
    assert section.table.rows == (("birl from E", "\N{EN DASH}", "1 of 2 clean"),)


def test_a_long_tune_is_cut_short() -> None:
    """A page is a page."""
    long = TuneOverTime("a", "A March", 3, 3, "2026-03-28", [FIRST, LAST], [GRIP] * 40)
    table = tune_section(long).table
    assert table is not None
    assert len(table.rows) == MOST_ORNAMENTS
    assert tempo_words(FIRST) == "76 to 80 clicks"
