"""All that the view shows, out of a history of simulated practice."""

import pytest

from chanterd.config import ChanterdError
from chanterd.history.answers import Overall, Span, Way, Weakness
from chanterd.history.players import Player
from chanterd.history.store import Store
from chanterd.judging.standard import read_standards
from chanterd.progress.progress import Progress, progress_of, weak_ones
from chanterd.progress.resolution import Grain
from tests.history.practised_runs import noon, practise, somebody

STANDARDS = read_standards()


def looked(
    store: Store, person: Player, span: Span | None = None, in_a_row: int = 3, drill: str | None = None
) -> Progress:
    """What the view shows of them."""
    with store.reading() as connection:
        return progress_of(connection, person, span or Span(), STANDARDS, in_a_row, drill)


def test_a_new_player_has_nothing_and_that_is_no_error(store: Store) -> None:
    """The page says then what will appear."""
    reported = looked(store, somebody(store))
    assert reported.began is None
    assert reported.shown is None
    assert (reported.practice, reported.weakest, reported.ways, reported.days) == ([], [], [], 0)
    assert reported.hand.families == ()


def test_the_row_is_the_askers(store: Store) -> None:
    """Two clean in a row at 60, then one that is not: held for two, not for three."""
    person = somebody(store)
    practise(store, person, [0.0, 0.0, 300.0])
    two, three = looked(store, person, in_a_row=2), looked(store, person)
    assert two.shown is not None
    assert [(one.day, one.click_bpm) for one in two.shown.tempo] == [("2026-03-31", 60.0)]
    assert three.shown is not None
    assert three.shown.tempo == []
    assert [one.fastest_clean_bpm for one in three.ways] == [None]


def test_late_is_plus(store: Store) -> None:
    """A grip that is always 12 ms late is shown 12 ms late."""
    person = somebody(store)
    practise(store, person, [12.0] * 4)
    reported = looked(store, person)
    assert reported.shown is not None
    [point] = reported.shown.placement
    assert point.bias_ms == pytest.approx(12.0, abs=0.1)
    assert point.spread_ms == pytest.approx(0.0, abs=0.1)


def test_a_span_leaves_out_the_days_beside_it(store: Store) -> None:
    """But the player is not new: the first day ever is still known."""
    person = somebody(store)
    practise(store, person, [0.0] * 3, wall=noon(0))
    practise(store, person, [0.0] * 3, words="birl from E", wall=noon(2))
    reported = looked(store, person, Span("2026-04-01"))
    assert reported.began == "2026-03-31"
    assert (reported.first_day, reported.last_day, reported.days) == ("2026-04-02", "2026-04-02", 1)
    assert [one.drill for one in reported.ways] == ["birl from E"]
    assert looked(store, person, Span("2026-05-01")).practice == []


def test_the_pictures_are_of_the_chosen_drill(store: Store, ailsa: Player) -> None:
    """Left out, of the one that was practised on most days; unknown, a guess at what was meant."""
    reported = looked(store, ailsa)
    most = max(reported.ways, key=lambda way: way.days)
    assert reported.shown is not None
    assert [way.days for way in reported.ways if way.drill == reported.shown.drill] == [most.days]
    other = looked(store, ailsa, drill="Birl from E")
    assert other.shown is not None
    assert other.shown.drill == "birl from E"
    with pytest.raises(ChanterdError, match=r"not practised in these days\. Did you mean 'birl from E'\?"):
        looked(store, ailsa, drill="birl from F")


def test_simulated_practice_is_called_simulated(store: Store, ailsa: Player) -> None:
    """What the simulated player played must not pass for a person's."""
    assert looked(store, ailsa).simulated


def test_a_long_span_is_thinned_out_and_adds_up_to_the_same(store: Store, ailsa: Player) -> None:
    """Sixty days by days, and by weeks for a year."""
    days, weeks = looked(store, ailsa), looked(store, ailsa, Span("2025-04-01", "2026-03-31"))
    assert (days.grain, weeks.grain) == (Grain.DAY, Grain.WEEK)
    assert len(weeks.practice) < len(days.practice) / 3
    assert sum(one.days for one in weeks.practice) == len(days.practice) == days.days
    assert sum(one.played for one in weeks.practice) == days.played


def test_the_weakest_come_with_a_tempo_to_take_them_up_at() -> None:
    """The fastest held clean; what was always clean is not among them."""
    birl, grip = Way("birl", "E", "low A", drill="birl from E"), Way("grip", "B", "C", drill="grip from B to C")
    weakest = [
        Weakness(birl, 20, 5, 3, "2026-03-31", 9.0, 4.0, 80.0),
        Weakness(grip, 20, 20, 3, "2026-03-31", 0, 2, 80),
    ]
    [weak] = weak_ones(weakest, [Overall(birl, 3, 20, 5, 3, "2026-03-01", "2026-03-31", 64.0)], 40.0)
    assert (weak.drill, weak.click_bpm) == ("birl from E", 64.0)
    assert weak.said.startswith("5 of 20 clean")
