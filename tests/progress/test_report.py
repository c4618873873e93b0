"""The report's words."""

from chanterd.history.answers import Span
from chanterd.history.players import Player
from chanterd.history.store import Store
from chanterd.judging.standard import read_standards
from chanterd.music.drill import all_drills
from chanterd.progress.report import CAUTIONS, NOTHING, ONLY_STAGES, SAME, SIMULATED, Report, report_of
from tests.history.played_tunes import play_tune
from tests.history.practised_runs import noon, practise, somebody

STANDARDS = read_standards()
MARCH = Span("2026-03-01", "2026-03-31")


def made(store: Store, person: Player, span: Span = MARCH) -> Report:
    """The report about them."""
    with store.reading() as connection:
        return report_of(connection, person, span, STANDARDS, 3)


def test_it_shows_days_what_got_better_what_next_and_cautions(store: Store, ailsa: Player) -> None:
    """In that order, each under a heading of its own."""
    report = made(store, ailsa)
    assert (report.name, report.days) == ("Ailsa", "1 March to 31 March 2026")
    assert [section.heading for section in report.sections] == [
        "Days practised",
        "What was practised",
        "What got better",
        "An even hand",
        "What to work at next",
        "Take care",
    ]
    assert " of 31 days, " in report.sections[0].said[0]
    assert report.sections[-1].said == CAUTIONS
    assert len(report.sections[4].said) == 3


def test_what_got_better_is_then_and_now(store: Store) -> None:
    """Held at 60 in the beginning and at 72 in the end; another was 70 ms late then and is on the beat now."""
    person = somebody(store)
    for day, (bpm, off_ms) in enumerate([(60.0, 70.0), (64.0, 10.0), (72.0, 0.0)]):
        practise(store, person, [0.0] * 4, bpm=bpm, wall=noon(day))
        practise(store, person, [off_ms] * 4, words="birl from E", wall=noon(day))
    table = made(store, person, Span()).sections[2].table
    assert table is not None
    assert set(table.rows) == {
        ("grip from B to C", "60, now 72 clicks", SAME, SAME),
        ("birl from E", SAME, "70 ms late, now on the beat", SAME),
    }


def test_nothing_is_held_against_the_player(store: Store) -> None:
    """If you got slower and later, nothing says so; what to work at says how to go on."""
    person = somebody(store)
    for day, (bpm, off_ms) in enumerate([(72.0, 0.0), (64.0, 10.0), (60.0, 39.0)]):
        practise(store, person, [off_ms] * 4, bpm=bpm, wall=noon(day))
    report = made(store, person, Span())
    assert report.sections[2].table is None
    assert "too few to show a change" in report.sections[2].said[0]


def test_what_was_played_is_counted_for_each_ornament(store: Store) -> None:
    """Reps, clean ones, the tempo held, where the last day fell."""
    person = somebody(store)
    practise(store, person, [12.0, 12.0, 12.0, 400.0])
    table = made(store, person, Span()).sections[1].table
    assert table is not None
    [(drill, days, reps, held, place)] = table.rows
    assert (drill, days, reps, held) == ("grip from B to C", "1", "3 of 4", "60 clicks")
    assert place.startswith("on the beat")


def test_a_long_list_ends_with_how_many_others_there_were(store: Store) -> None:
    """The most practised ones are in it."""
    person = somebody(store)
    for number, drill in enumerate(list(all_drills())[:27]):
        practise(store, person, [12.0] * (2 if number > 1 else 1), words=drill.words)
    what = made(store, person, Span()).sections[1]
    assert what.table is not None
    assert [row[2] for row in what.table.rows] == ["2 of 2"] * 25
    assert what.said == ("And 2 others.",)


def test_days_without_practice_make_a_report_that_says_so(store: Store, ailsa: Player) -> None:
    """No empty tables."""
    report = made(store, ailsa, Span("2027-01-01", "2027-01-31"))
    assert [section.said for section in report.sections] == [(NOTHING,)]
    assert report.days == "1 January to 31 January 2027"
    assert report.practice == ()


def test_simulated_practice_is_called_simulated(store: Store, ailsa: Player) -> None:
    """In the small print, first."""
    assert made(store, ailsa).notes[0] == SIMULATED


def test_stages_alone_make_no_empty_table(store: Store) -> None:
    """They count as practice; figures come with the full ornament."""
    person = somebody(store)
    practise(store, person, [0.0] * 3, words="grip from B to C, stage 1")
    report = made(store, person, Span())
    assert report.sections[0].said[0].startswith("1 of 1 day, ")
    assert report.sections[1].said == (ONLY_STAGES,)
    assert report.sections[1].table is None


def test_tunes_are_in_it_each_under_its_title(store: Store) -> None:
    """Whoever played nothing but tunes has a report, without a word of drills."""
    person = somebody(store)
    play_tune(store, person, wall=noon(0))
    report = made(store, person, Span())
    assert [section.heading for section in report.sections][:2] == ["Days practised", "Tune: Seven Gulls"]
    assert "What was practised" not in [section.heading for section in report.sections]
    assert report.sections[0].said[0].startswith("1 of 1 day, ")
