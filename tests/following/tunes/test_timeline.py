"""When notes were due, by the click and by the player's own pulse."""

from dataclasses import replace
from statistics import median

import pytest

from chanterd.following.tunes.timeline import NotePlaced, OwnPulse, Stretch, stretches
from chanterd.following.tunes.visits import Visit
from chanterd.hearing.simulated_tune import HUMAN, TuneHabits
from chanterd.music.units import Beats, Ns
from tests.bench.tune_performances import sample

CLICK_NS = 5e8


def visit(segment: int, clicks: float, *, leap: bool = False) -> Visit:
    """A note without gracenotes."""
    return Visit(segment, 1, leap, clicks, [], [])


def test_a_leap_and_a_stop_begin_a_stretch() -> None:
    """A note held half a beat too long does not."""
    visits = [visit(0, 0), visit(1, 1), visit(2, 2), visit(0, 0, leap=True), visit(1, 1)]
    came = [0.0, 0.75e9, 3e9, 3.5e9, 4e9]
    assert stretches(visits, came, CLICK_NS) == [
        Stretch(0, 2, stopped=False),
        Stretch(2, 3, stopped=True),
        Stretch(3, 5, stopped=False),
    ]
    assert stretches([], [], CLICK_NS) == []


def deviations(habits: TuneHabits, *, click_off: bool) -> list[float]:
    """Of every note on a beat, ms."""
    found = []
    for name in ("lamp-at-quarry-hollow", "seven-gulls"):
        one = sample(name, habits, 11)
        notes, segments = one.run(click_off=click_off).found()["notes"], one.score.segments
        found += [
            off for note in notes if not segments[note["note"]].phase and (off := note["deviation_ms"]) is not None
        ]
    return found


@pytest.mark.parametrize("click_off", [False, True])
def test_a_machine_is_on_time(*, click_off: bool) -> None:
    """To the tick of the file."""
    assert max(map(abs, deviations(TuneHabits(), click_off=click_off))) < 1.0


def test_behind_a_stop_and_a_restart_the_deviation_is_from_the_nearest_beat() -> None:
    """By whole beats: nobody is ever half a beat off more than by the stop itself."""
    offs = deviations(replace(HUMAN, stop=0.2, bar_again=0.2), click_off=False)
    assert max(map(abs, offs)) < 700
    assert median(map(abs, deviations(HUMAN, click_off=False))) < 20


def test_a_tempo_that_wanders_is_followed_by_the_players_own_pulse() -> None:
    """By 12 % up and down: against a click they would be beats off, against their own pulse hardly."""
    offs = sorted(map(abs, deviations(replace(HUMAN, wander=0.12), click_off=True)))
    assert offs[int(0.95 * len(offs))] < 60
    assert median(offs) < 20


def test_the_pulse_is_a_line_through_the_notes_around() -> None:
    """A player at 100 a minute: 0.6 s a click, there and back, also past the last note."""
    notes = tuple(NotePlaced(float(click), 1e9 + 6e8 * click, on_beat=True) for click in range(8))
    pulse = OwnPulse(notes, CLICK_NS)
    assert [pulse.at(click) for click in (0, 2.5, 9)] == [1e9, 2.5e9, 6.4e9]
    assert [pulse.beats(Ns(at)) for at in (10**9, 2_500_000_000)] == pytest.approx([0, 2.5])


def test_a_late_note_does_not_excuse_itself() -> None:
    """Held against the notes around it, not against itself."""
    notes = tuple(NotePlaced(float(click), 5e8 * click + 8e7 * (click == 3), on_beat=True) for click in range(7))
    assert OwnPulse(notes, CLICK_NS, notes[3]).at(3) == 1.5e9
    assert OwnPulse(notes, CLICK_NS).at(3) > 1.51e9


def test_where_too_little_is_known_the_pace_so_far_goes_on() -> None:
    """From one note alone; from none, time 0 is click 0."""
    one = NotePlaced(2.0, 1.1e9, on_beat=True)
    assert OwnPulse((one,), CLICK_NS).at(4) == 2.1e9
    assert OwnPulse((one,), CLICK_NS, one).at(2) == 1.1e9
    assert OwnPulse((), CLICK_NS).beats(Ns(10**9)) == Beats(2.0)
