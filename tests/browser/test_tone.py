"""Hear it: the tone is rendered offline and held against the tuning's table and the timetable.

Frequencies and onsets are found by ``sound``. Simulated drills of ``scene``.
"""

from itertools import pairwise
from typing import Any
from urllib.parse import parse_qs, urlsplit

import numpy as np
import pytest
from playwright.sync_api import expect

from tests.browser import scene
from tests.browser.bookshelf import TUNINGS
from tests.browser.conftest import Inside, Open
from tests.browser.placed_reps import segments
from tests.browser.sound import PACKED, RATE, Sound, change, frequency, hz, unpacked
from tests.browser.stand_in import StandIn, eventually

START_S = 0.25
RENDER = f"""async (m, how, seconds, at_s) => {{
  const context = new OfflineAudioContext(1, Math.ceil(seconds * 48000), 48000);
  const {{ timetable, tuning, half, click }} = how;
  m.renderScore(context, context.destination, {{ score: m.drillScore(timetable, half), tuning, click }}, at_s);
  return ({PACKED})((await context.startRendering()).getChannelData(0));
}}"""


def timetable(drill: scene.Drill, click_bpm: float, reps: int = 2) -> Any:
    """A drill in time, as ``/api/timetable`` has it."""
    asked = scene.asked(drill, click_bpm)
    return {
        "asked": asked,
        "sequence": [asked],
        "segments": segments(click_bpm, reps),
        "clicks_per_rep": 2,
        "ornament_beat": 1,
        "click_bpm": click_bpm,
    }


def due(drill_times: Any, reps: int, stretch: float = 1.0) -> list[tuple[float, str]]:
    """When each note begins, in seconds from the first click, and its name; reckoned from the timetable alone."""
    found: list[tuple[float, str]] = []
    for rep in range(reps):
        asked = drill_times["sequence"][rep % len(drill_times["sequence"])]
        beat_ms = (
            (rep * drill_times["clicks_per_rep"] + drill_times["ornament_beat"]) * 60_000 / drill_times["click_bpm"]
        )
        found.append(((beat_ms + asked["lead_offset_ms"]) * stretch / 1000, asked["lead"]))
        found += [((beat_ms + step["offset_ms"]) * stretch / 1000, step["note"]) for step in asked["steps"]]
    return found


def render(inside: Inside, drill_times: Any, seconds: float, **how: Any) -> Sound:
    """The sound of a hearing that starts at 0.25 s."""
    wanted = {"timetable": drill_times, "tuning": TUNINGS[0], "half": False, "click": False, **how}
    return unpacked(inside("audio/playback.js", RENDER, wanted, seconds, START_S))


@pytest.mark.parametrize("drill", [scene.DRILLS[0], scene.DRILLS[2]], ids=lambda drill: drill.words)
def test_every_note_has_the_frequency_of_its_table(inside: Inside, drill: scene.Drill) -> None:
    """Within 1 % in the middle of each note, the quick ones too."""
    drill_times = timetable(drill, 90)
    notes = due(drill_times, 2)
    sound = render(inside, drill_times, 4.0)
    ends = [at for at, _ in notes[1:]] + [notes[-1][0] + 0.3]
    for (at, note), end in zip(notes, ends, strict=True):
        middle = START_S + at + min(0.5 * (end - at), 0.1)
        assert frequency(sound, middle - RATE**-1) == pytest.approx(hz(note), rel=0.01), (at, note)


def test_every_step_begins_when_it_is_due(inside: Inside) -> None:
    """Where one note's period gives way to the next one's is within 3 ms of the timetable."""
    drill_times = timetable(scene.DRILLS[2], 60)
    notes = due(drill_times, 2)
    sound = render(inside, drill_times, 5.0)
    for (_, before), (at, note) in pairwise(notes):
        assert change(sound, START_S + at, before, note) == pytest.approx(START_S + at, abs=0.003), (at, note)


def test_the_tone_never_stops_between(inside: Inside) -> None:
    """A chanter sounds all the while it is blown; it begins and ends softly, and stays below full scale."""
    drill_times = timetable(scene.DRILLS[0], 90)
    sound = render(inside, drill_times, 4.0)
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
    drill_times = timetable(scene.DRILLS[0], 90)
    added = render(inside, drill_times, 4.0, click=True) - render(inside, drill_times, 4.0)
    loud = np.flatnonzero(np.abs(added) > 0.2)
    starts = loud[np.flatnonzero(np.diff(loud, prepend=-RATE) > RATE // 5)] / RATE
    assert starts == pytest.approx([START_S + click * 60 / 90 for click in range(4)], abs=1e-4)


def test_half_speed_is_slow_motion(inside: Inside) -> None:
    """Every note begins at twice its time and keeps its pitch; another tuning has other frequencies."""
    drill_times = timetable(scene.DRILLS[0], 90)
    sound = render(inside, drill_times, 6.0, half=True, tuning=TUNINGS[1])
    notes = due(drill_times, 2, stretch=2)
    for (at, note), (end, _) in pairwise(notes):
        middle = START_S + at + min(0.5 * (end - at), 0.1)
        assert frequency(sound, middle) == pytest.approx(hz(note, 1), rel=0.01), (at, note)


def test_a_drill_is_heard_and_stopped(open_page: Open) -> None:
    """The button says what is heard, Stop ends it, and leaving the book ends it too; a caution stands by the volume."""
    page = open_page()
    page.locator("nav a", has_text="Book").click()
    page.locator("#hear-how summary").click()
    expect(page.locator("#tone-said")).to_be_visible()
    expect(page.locator("#tone-said")).to_contain_text("Begin quietly")
    page.keyboard.press("Escape")
    expect(page.locator("#tone-said")).to_be_hidden()
    for leave in (page.locator("#way-hear"), page.locator("nav a", has_text="Practise")):
        page.locator("nav a", has_text="Book").click()
        page.locator("#way-hear").click()
        expect(page.locator("#playback")).to_contain_text("You hear: change from")
        leave.click()
        expect(page.locator("#playback")).to_be_empty()


def test_it_ends_by_itself(stand_in: StandIn, open_page: Open) -> None:
    """Once is over soon; a tempo out of the range is not played, and the page says so."""
    page = open_page()
    page.locator("nav a", has_text="Book").click()
    page.locator("#hear-how summary").click()
    page.locator("#hear-tempo").fill("60")
    page.locator("#hear-reps").select_option("1")
    page.locator("#way-hear").click()
    expect(page.locator("#way-hear")).to_have_text("Stop")
    expect(page.locator("#way-hear")).to_have_text("Hear it")
    page.locator("#hear-tempo").fill("4000")
    page.locator("#way-hear").click()
    expect(page.locator("#refused span")).to_contain_text("from 20 to 400")
    assert stand_in.running


def test_layout_and_hand_are_chosen_for_hearing_alone(stand_in: StandIn, open_page: Open) -> None:
    """The page asks for what is chosen in the card, and what is practised stays; at first they are the same."""
    page = open_page()
    page.locator("nav a", has_text="Book").click()
    page.locator("#hear-how summary").click()
    expect(page.locator("#hear-spread-now")).to_have_text("6 %")
    expect(page.locator("#hear-layout")).to_have_value("two clicks")
    page.locator("#hear-layout").select_option("every click")
    expect(page.locator("#hear-layout-said")).to_contain_text("every click")
    page.locator("#hear-spread").fill("12")
    expect(page.locator("#hear-spread-now")).to_have_text("12 %")
    page.keyboard.press("Escape")
    with page.expect_request("**/api/timetable?**") as asked:
        page.locator("#way-hear").click()
    query = parse_qs(urlsplit(asked.value.url).query)
    assert (query["layout"], query["spread"]) == (["every click"], ["0.12"])
    expect(page.locator("#playback")).to_contain_text("You hear")
    page.locator("nav a", has_text="Practise").click()
    expect(page.locator("#settings-now")).to_contain_text("6 %")
    assert stand_in.asked == []


def test_the_model_is_heard_on_the_practice_view_by_the_keyboard(stand_in: StandIn, open_page: Open) -> None:
    """What is asked there, at its tempo; the same button stops it, and so does starting to play."""
    page = open_page()
    button = page.locator("#hear-asked")
    button.focus()
    with page.expect_request("**/api/timetable?**") as asked:
        page.keyboard.press("Enter")
    query = parse_qs(urlsplit(asked.value.url).query)
    assert (query["drill"], query["click_bpm"]) == (["grip from B to C"], ["60"])
    expect(button).to_have_text("Stop it")
    page.keyboard.press("Space")
    expect(button).to_have_text("Hear it")
    page.keyboard.press("Space")
    expect(button).to_have_text("Stop it")
    page.locator("#toggle").click()
    expect(button).to_have_text("Hear it")
    eventually(stand_in, lambda asked: [what for _, what, _ in asked] == ["practice"])


def test_the_model_is_never_heard_over_a_run(stand_in: StandIn, open_page: Open) -> None:
    """A run that is going on is stopped first, and that is said beside the button."""
    stand_in.one["practice"] = scene.practice(scene.asked(scene.DRILLS[0]), [])
    page = open_page()
    expect(page.locator("#toggle")).to_have_text("Stop")
    page.locator("#hear-asked").click()
    expect(page.locator("#hear-asked-said")).to_have_text("Your run was stopped for it.")
    eventually(stand_in, lambda asked: [one[:2] for one in asked] == [("DELETE", "practice")])


def test_each_rep_may_ask_for_another_drill(inside: Inside) -> None:
    """Of a sequence of two, rep 1 sounds the second and rep 2 the first again, the whole in slow motion too."""
    drill_times = timetable(scene.DRILLS[0], 60, 3)
    other = scene.asked(scene.DRILLS[2], 60)
    body = "(m, drill_times, half) => m.drillScore(drill_times, half)"
    for half in (False, True):
        score = inside("audio/playback.js", body, {**drill_times, "sequence": [drill_times["asked"], other]}, half)
        notes = [one["note"] for one in score["notes"]]
        first = [drill_times["asked"]["lead"], *(step["note"] for step in drill_times["asked"]["steps"])]
        assert notes == [*first, other["lead"], *(step["note"] for step in other["steps"]), *first]
        assert score["end_s"] == pytest.approx(6.0 * (2 if half else 1))


def test_reps_that_differ_are_heard_in_turn(inside: Inside) -> None:
    """Grip, doubling, grip: each rep has its own notes, and half as fast the same ones at twice the time."""
    grip, doubling = timetable(scene.DRILLS[0], 90, 3), timetable(scene.DRILLS[1], 90)
    drill_times = {**grip, "sequence": [grip["asked"], doubling["asked"]]}
    score = inside("audio/playback.js", "(m, drill_times) => m.drillScore(drill_times, false)", drill_times)
    assert [one["note"] for one in score["notes"]] == [note for _, note in due(drill_times, 3)]
    assert [one["at_s"] for one in score["notes"]] == pytest.approx([at_s for at_s, _ in due(drill_times, 3)])
    slow = inside("audio/playback.js", "(m, drill_times) => m.drillScore(drill_times, true)", drill_times)
    assert [one["at_s"] for one in slow["notes"]] == pytest.approx([at_s for at_s, _ in due(drill_times, 3, stretch=2)])
