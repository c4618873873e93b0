"""Hear it: the tone is rendered offline and held against the tuning's table and the timetable.

Frequencies by autocorrelation (its first high peak is at one period), onsets where one note's period gives way to the
next one's. Simulated drills of ``scene``.
"""

from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from playwright.sync_api import expect

from chanterd.trade.note import note_from_words
from tests.browser import scene
from tests.browser.bookshelf import TUNINGS
from tests.browser.conftest import Inside, Open
from tests.browser.stand_in import StandIn

RATE = 48_000
START_S = 0.25
RENDER = """async (m, how, seconds, at_s) => {
  const context = new OfflineAudioContext(1, Math.ceil(seconds * 48000), 48000);
  m.renderHearing(context, context.destination, how, at_s);
  return [...(await context.startRendering()).getChannelData(0)];
}"""
LOWEST_HZ, HIGHEST_HZ = 380.0, 1100.0

Sound = NDArray[np.float64]


def timetable(drill: scene.Drill, click_bpm: float) -> Any:
    """A drill in time, as ``/api/timetable`` tells it."""
    asked = scene.asked(drill, click_bpm)
    return {
        "asked": asked,
        "turns": [asked],
        "clicks_per_rep": 2,
        "ornament_beat": 1,
        "click_bpm": click_bpm,
    }


def due(told: Any, reps: int, stretch: float = 1.0) -> list[tuple[float, str]]:
    """When each note begins, in seconds from the first click, and its name; reckoned from the timetable alone."""
    found: list[tuple[float, str]] = []
    for rep in range(reps):
        asked = told["turns"][rep % len(told["turns"])]
        beat_ms = (rep * told["clicks_per_rep"] + told["ornament_beat"]) * 60_000 / told["click_bpm"]
        found.append(((beat_ms + asked["lead_offset_ms"]) * stretch / 1000, asked["lead"]))
        found += [((beat_ms + step["offset_ms"]) * stretch / 1000, step["note"]) for step in asked["steps"]]
    return found


def render(inside: Inside, told: Any, seconds: float, **how: Any) -> Sound:
    """The sound of a hearing that starts at 0.25 s."""
    wanted = {"timetable": told, "tuning": TUNINGS[0], "reps": 2, "half": False, "click": False, **how}
    return np.array(inside("hear.js", RENDER, wanted, seconds, START_S), dtype=np.float64)


def hz(note: str, tuning: int = 0) -> float:
    """The frequency of a note by the tuning's table, low G first."""
    return float(TUNINGS[tuning]["hz"][note_from_words(note).value])  # type: ignore[arg-type]


def likeness(sound: Sound, middle_s: float, at_hz: float, window_s: float = 0.012) -> float:
    """How well the sound about an instant repeats after one period of that frequency, at most 1."""
    half, lag = int(window_s * RATE / 2), RATE / at_hz
    middle = round(middle_s * RATE)
    points = np.arange(middle - half, middle + half)
    here = sound[points]
    later = np.interp(points + lag, np.arange(len(sound)), sound)
    return float(here @ later / np.sqrt((here @ here) * (later @ later) + 1e-12))


def frequency(sound: Sound, middle_s: float) -> float:
    """The frequency about an instant: the shortest period after which the sound repeats nearly as well as ever."""
    tried = np.geomspace(HIGHEST_HZ, LOWEST_HZ, 900)
    alike = np.array([likeness(sound, middle_s, one) for one in tried])
    peaks = [k for k in range(1, len(tried) - 1) if alike[k - 1] < alike[k] > alike[k + 1]]
    best = max(alike[k] for k in peaks)
    return float(next(tried[k] for k in peaks if alike[k] > best - 0.03))


@pytest.mark.parametrize("drill", [scene.DRILLS[0], scene.DRILLS[2]], ids=lambda drill: drill.words)
def test_every_note_has_the_frequency_of_its_table(inside: Inside, drill: scene.Drill) -> None:
    """Within 1 % in the middle of each note, the quick ones too."""
    told = timetable(drill, 90)
    notes = due(told, 2)
    sound = render(inside, told, 4.0)
    ends = [at for at, _ in notes[1:]] + [notes[-1][0] + 0.3]
    for (at, note), end in zip(notes, ends, strict=True):
        middle = START_S + at + min(0.5 * (end - at), 0.1)
        assert frequency(sound, middle - RATE**-1) == pytest.approx(hz(note), rel=0.01), (at, note)


def test_every_step_begins_when_it_is_due(inside: Inside) -> None:
    """Where one note's period gives way to the next one's is within 3 ms of the timetable."""
    told = timetable(scene.DRILLS[2], 60)
    notes = due(told, 2)
    sound = render(inside, told, 5.0)
    for (_, before), (at, note) in pairwise(notes):
        instants = START_S + at + np.arange(-0.014, 0.014, 0.0005)
        # A window about `instant` looks one period ahead: half a period is taken off again.
        lean = 0.25 / hz(before) + 0.25 / hz(note)
        won = [
            likeness(sound, instant - lean, hz(note), 0.008) > likeness(sound, instant - lean, hz(before), 0.008)
            for instant in instants
        ]
        crossing = instants[won.index(True)]
        assert crossing == pytest.approx(START_S + at, abs=0.003), (at, note)


def test_the_tone_never_stops_between(inside: Inside) -> None:
    """A chanter sounds all the while it is blown; it begins and ends softly, and stays below full scale."""
    told = timetable(scene.DRILLS[0], 90)
    sound = render(inside, told, 4.0)
    end_s = START_S + 4 * 60 / 90
    inner = sound[int((START_S + 0.06) * RATE) : int((end_s - 0.11) * RATE)]
    frames = inner[: len(inner) // 480 * 480].reshape(-1, 480)
    levels = np.sqrt((frames**2).mean(axis=1))
    assert levels.min() > 0.5 * np.median(levels)
    assert np.abs(sound).max() < 0.95
    assert np.abs(sound[: int(START_S * RATE)]).max() < 1e-4
    assert np.abs(sound[int((end_s + 0.02) * RATE) :]).max() < 1e-4
    assert np.abs(np.diff(sound[: int((START_S + 0.002) * RATE)])).max() < 0.05


def test_the_click_is_on_its_grid(inside: Inside) -> None:
    """What the click adds to the sound begins on every click, to a sample or two, and nowhere else."""
    told = timetable(scene.DRILLS[0], 90)
    added = render(inside, told, 4.0, click=True) - render(inside, told, 4.0)
    loud = np.flatnonzero(np.abs(added) > 0.2)
    starts = loud[np.flatnonzero(np.diff(loud, prepend=-RATE) > RATE // 5)] / RATE
    assert starts == pytest.approx([START_S + click * 60 / 90 for click in range(4)], abs=1e-4)


def test_half_speed_is_slow_motion(inside: Inside) -> None:
    """Every note begins at twice its time and keeps its pitch; another tuning has other frequencies."""
    told = timetable(scene.DRILLS[0], 90)
    sound = render(inside, told, 6.0, half=True, tuning=TUNINGS[1])
    notes = due(told, 2, stretch=2)
    for (at, note), (end, _) in pairwise(notes):
        middle = START_S + at + min(0.5 * (end - at), 0.1)
        assert frequency(sound, middle) == pytest.approx(hz(note, 1), rel=0.01), (at, note)


def test_a_drill_is_heard_and_stopped(open_page: Open) -> None:
    """The button says what is heard, Stop ends it, and leaving the book ends it too; a caution stands by the volume."""
    page = open_page()
    page.locator("nav a", has_text="Book").click()
    expect(page.locator("#tone-said")).to_contain_text("Begin quietly")
    for leave in (page.locator("#hear-stop"), page.locator("nav a", has_text="Practise")):
        page.locator("nav a", has_text="Book").click()
        page.locator("#way-hear").click()
        expect(page.locator("#hearing")).to_contain_text("You hear: G gracenote from")
        leave.click()
        expect(page.locator("#hearing")).to_be_empty()


def test_it_ends_by_itself(stand_in: StandIn, open_page: Open) -> None:
    """Once, at the fastest tempo there is, is over soon; a tempo out of the range is told and not played."""
    page = open_page()
    page.locator("nav a", has_text="Book").click()
    page.locator("#hear-tempo").fill("400")
    page.locator("#hear-reps").select_option("1")
    page.locator("#way-hear").click()
    expect(page.locator("#hear-stop")).to_be_visible()
    expect(page.locator("#hear-stop")).to_be_hidden()
    page.locator("#hear-tempo").fill("4000")
    page.locator("#way-hear").click()
    expect(page.locator("#refused span")).to_contain_text("from 20 to 400")
    assert stand_in.running
