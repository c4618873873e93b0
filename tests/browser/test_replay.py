"""Hear yourself: a rep is rendered offline, and every onset is where it was played, at every speed; then the page.

Simulated reps of ``scene``. That slow motion keeps the pitch and stretches every time alike is what is checked; the
frequencies are those of the tuning's table.
"""

from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from playwright.sync_api import Page, expect

from tests.browser import scene
from tests.browser.bookshelf import TUNINGS
from tests.browser.conftest import Inside, Open
from tests.browser.sound import PACKED, RATE, Sound, change, frequency, hz, unpacked
from tests.browser.stand_in import StandIn

START_S = 0.25
RENDER = f"""async (m, rep, timetable, factor, tuning, click, seconds, at_s) => {{
  const {{ renderScore }} = await import("/audio/playback.js");
  const {{ slowed }} = await import("/audio/tone.js");
  const score = slowed(rep.model ? m.model(rep, timetable) : m.played(rep, timetable), factor);
  const context = new OfflineAudioContext(1, Math.ceil(seconds * 48000), 48000);
  renderScore(context, context.destination, {{ score, tuning, click }}, at_s);
  return {{ score, sound: ({PACKED})((await context.startRendering()).getChannelData(0)) }};
}}"""
CLICK_BPM = 60.0
REP = 3


def timetable(drill: scene.Drill) -> Any:
    """A drill in time, as a run's grid and what is asked tell it."""
    return {"sequence": [scene.asked(drill, CLICK_BPM)], **scene.grid(CLICK_BPM)}


def render(inside: Inside, rep: Any, score: Any, factor: int, *, click: bool = False) -> tuple[Any, Sound]:
    """What sounds when, and the sound itself, from 0.25 s on."""
    seconds = 2.6 * factor + 0.5
    got = inside("practise/replay.js", RENDER, rep, score, factor, TUNINGS[0], click, seconds, START_S)
    return got["score"], unpacked(got["sound"])


def heard(rep: Any) -> list[tuple[float, str]]:
    """Every onset of a rep in ms from its own first click, and the note that sounded; reckoned from the rep alone."""
    first_ms = rep["rep"] * 2 * 60_000 / CLICK_BPM
    parts = [rep["lead"], *rep["steps"], *rep["extras"]]
    found = [(one["onset_ms"] - first_ms, one.get("played_note", one["note"])) for one in parts if one["onset_ms"]]
    return sorted(found)


def rough() -> Any:
    """A rep of a grip with a crossing noise, a wrong note and a missing step."""
    good = scene.rep(scene.asked(scene.DRILLS[0], CLICK_BPM), CLICK_BPM, REP, late_ms=31.0)
    rep: Any = scene.missing(scene.wrong(scene.with_extras(good), 0, "E"), 1)
    first, _, third, _ = rep["steps"]
    first["length_ms"] = third["onset_ms"] - first["onset_ms"]  # a chanter sounds on where a step is missing
    return rep


@pytest.mark.parametrize("factor", [1, 2, 4])
def test_every_onset_is_where_it_was_played(inside: Inside, factor: int) -> None:
    """Wrong notes and crossing noises too, at each speed; to 4 ms by ear, which is half the window."""
    rep = rough()
    score, sound = render(inside, rep, timetable(scene.DRILLS[0]), factor)
    notes = heard(rep)
    assert [note for _, note in notes][:3] == ["B", "low A", "E"], "the scene holds a crossing noise and a wrong note"
    assert [one["at_s"] for one in score["notes"]] == pytest.approx([at / 1000 * factor for at, _ in notes])
    for (_, before), (at_ms, note) in pairwise(notes):
        if before == note:
            continue  # the bounce within the theme note: the same pitch goes on
        due_s = START_S + at_ms / 1000 * factor
        found = change(sound, due_s, before, note, 0.005 * factor if note == "E" or before == "low A" else 0.014)
        assert found == pytest.approx(due_s, abs=0.004), (at_ms, note)


@pytest.mark.parametrize("factor", [2, 4])
def test_slow_motion_keeps_the_pitch(inside: Inside, factor: int) -> None:
    """The crossing noise of 12 ms lasts long enough at quarter speed to be heard as the note it is."""
    rep = rough()
    _, sound = render(inside, rep, timetable(scene.DRILLS[0]), factor)
    for (at_ms, note), (end_ms, _) in pairwise(heard(rep)):
        if end_ms - at_ms < 20 / factor:
            continue
        middle_s = START_S + (at_ms + min((end_ms - at_ms) / 2, 50)) / 1000 * factor
        assert frequency(sound, middle_s) == pytest.approx(hz(note), rel=0.01), (at_ms, note)


@pytest.mark.parametrize("factor", [1, 4])
def test_yours_and_the_model_lie_on_the_same_clicks(inside: Inside, factor: int) -> None:
    """The ornament's beat is on the second click of both, so that an ear can compare them; to a sample or two."""
    score = timetable(scene.DRILLS[0])
    for rep in (rough(), {"rep": REP, "model": True}):
        shown, with_click = render(inside, rep, score, factor, click=True)
        added = with_click - render(inside, rep, score, factor)[1]
        loud = np.flatnonzero(np.abs(added) > 0.2)
        starts = loud[np.flatnonzero(np.diff(loud, prepend=-RATE) > RATE // 5)] / RATE
        assert starts == pytest.approx([START_S, START_S + factor], abs=1e-4)
        assert START_S + shown["beat_s"] == pytest.approx(starts[1], abs=1e-3)


def test_a_breath_is_silence(inside: Inside) -> None:
    """Where the player stopped blowing nothing sounds, and the next note comes back at its own time."""
    rep = scene.rep(scene.asked(scene.DRILLS[0], CLICK_BPM), CLICK_BPM, 0)
    rep["lead"]["length_ms"] = 500.0
    _, sound = render(inside, rep, timetable(scene.DRILLS[0]), 1)
    first_ms, note = heard(rep)[1]
    silent = sound[int((START_S + 0.56) * RATE) : int((START_S + first_ms / 1000) * RATE)]
    assert np.abs(silent).max() < 0.01
    assert frequency(sound, START_S + first_ms / 1000 + 0.025) == pytest.approx(hz(note), rel=0.01)


def test_a_note_before_that_only_went_on_is_sounded(inside: Inside) -> None:
    """It has no onset in its own rep, yet the ear needs it."""
    rep = scene.rep(scene.asked(scene.DRILLS[0], CLICK_BPM), CLICK_BPM, 2)
    rep["lead"].update({"state": "merged", "onset_ms": None, "deviation_ms": None, "length_ms": None})
    notes = inside(
        "practise/replay.js", "(m, rep, score) => m.played(rep, score).notes", rep, timetable(scene.DRILLS[0])
    )
    assert notes[0] == {"note": "B", "at_s": 0}
    assert notes[1]["at_s"] * 1000 == pytest.approx(heard(rep)[0][0])


def stopped(stand_in: StandIn, open_page: Open) -> Page:
    """The page after a run of twelve reps was stopped."""
    asked = scene.asked(scene.DRILLS[0])
    stand_in.one["practice"] = scene.practice(asked, scene.dozen(asked, 60))
    page = open_page()
    expect(page.locator("#habit li")).to_have_count(12)
    expect(page.locator("#replay")).to_be_hidden()
    stand_in.send({"kind": "grid", "seat": "one", "practice": None})
    expect(page.locator("#replay")).to_be_visible()
    return page


def test_a_and_b_by_the_arrows(stand_in: StandIn, open_page: Open) -> None:
    """When the run is over, left plays the last rep and right the model; pressed buttons and words say which."""
    page = stopped(stand_in, open_page)
    said = page.locator("#replay [role=status]")
    expect(said).to_contain_text("left is yours, right is the model")
    page.keyboard.press("ArrowLeft")
    expect(said).to_have_text("You hear rep 12 as you played it, at full speed.")
    expect(page.locator("#replay [data-hear=rep]")).to_have_attribute("aria-pressed", "true")
    page.keyboard.press("ArrowRight")
    expect(said).to_have_text("You hear the model, at full speed.")
    expect(page.locator("#replay [data-hear=rep]")).to_have_attribute("aria-pressed", "false")
    page.locator("#replay [data-factor='4']").click()
    expect(said).to_have_text("You hear the model, at a quarter of the speed.")
    page.keyboard.press("Escape")
    expect(page.locator("#replay [data-hear=model]")).to_have_attribute("aria-pressed", "false")


def test_a_line_goes_through_the_strip_as_it_is_heard(stand_in: StandIn, open_page: Open) -> None:
    """So that eye and ear find the same step; it stays still for those who asked for that, and goes when it is over."""
    page = stopped(stand_in, open_page)
    page.locator("#replay [data-factor='4']").click()
    page.keyboard.press("ArrowLeft")
    expect(page.locator("#marks .head")).to_have_count(1)
    page.keyboard.press("Escape")
    expect(page.locator("#marks .head")).to_have_count(0)
    page.emulate_media(reduced_motion="reduce")
    page.keyboard.press("ArrowLeft")
    expect(page.locator("#replay [data-hear=rep]")).to_have_attribute("aria-pressed", "true")
    expect(page.locator("#marks .head")).to_have_count(0)


def test_any_of_the_twelve_is_seen_and_heard_again(stand_in: StandIn, open_page: Open) -> None:
    """Picked with a click or the arrows, its strip, verdict and sound are shown; the focus stays in the list."""
    page = stopped(stand_in, open_page)
    page.locator("#habit li", has_text="crushed").click()
    expect(page.locator("#where")).to_have_text("Rep 4, again")
    expect(page.locator("#verdict")).to_contain_text("was crushed")
    page.locator("#habit [aria-selected=true]").focus()
    page.keyboard.press("ArrowDown")
    expect(page.locator("#where")).to_have_text("Rep 3, again")
    expect(page.locator("#habit [aria-selected=true]")).to_be_focused()
    page.keyboard.press("ArrowLeft")
    expect(page.locator("#replay [role=status]")).to_contain_text("You hear rep 3 as you played it")
    page.locator("#replay [data-hear=rep]").click()
    expect(page.locator("#replay [data-hear=rep]")).to_have_attribute("aria-pressed", "false")


def test_on_a_phone_it_follows_its_list(stand_in: StandIn, open_page: Open) -> None:
    """However few reps there are, no empty lines lie between; and no keys are named on a touch screen."""
    asked = scene.asked(scene.DRILLS[0])
    stand_in.one["practice"] = scene.practice(asked, [scene.rep(asked, 60, 0)])
    page = open_page(390, 844, has_touch=True, is_mobile=True)
    stand_in.send({"kind": "grid", "seat": "one", "practice": None})
    expect(page.locator("#replay")).to_be_visible()
    last, card = page.locator("#habit li").last.bounding_box(), page.locator("#replay").bounding_box()
    assert last
    assert card
    assert card["y"] - (last["y"] + last["height"]) < 20
    expect(page.locator("#replay [role=status]")).to_be_empty()


def test_it_never_sounds_over_the_click_of_a_run(stand_in: StandIn, open_page: Open) -> None:
    """A run that begins, from this page or another, ends what is heard; while it goes on, the arrows sound nothing."""
    page = stopped(stand_in, open_page)
    page.locator("#replay [data-factor='4']").click()
    page.keyboard.press("ArrowLeft")
    expect(page.locator("#replay [data-hear=rep]")).to_have_attribute("aria-pressed", "true")
    asked = scene.asked(scene.DRILLS[0])
    stand_in.send({"kind": "grid", "seat": "one", "practice": scene.practice(asked, scene.dozen(asked, 60))})
    expect(page.locator("#replay")).to_be_hidden()
    page.keyboard.press("ArrowLeft")
    stand_in.send({"kind": "grid", "seat": "one", "practice": None})
    expect(page.locator("#replay")).to_be_visible()
    expect(page.locator("#replay [data-hear=rep]")).to_have_attribute("aria-pressed", "false")


def test_a_rep_that_was_rested_has_only_a_model(stand_in: StandIn, open_page: Open) -> None:
    """Nothing was heard in it, and the page says so rather than play silence."""
    asked = scene.asked(scene.DRILLS[0])
    good = scene.rep(asked, 60, 0)
    rest = {**good, "rep": 1, "skipped": True, "clean": False, "anchor_ms": None, "said": "Rested."}
    rest["steps"] = [
        {**step, "state": "missing", "onset_ms": None, "deviation_ms": None, "length_ms": None}
        for step in good["steps"]
    ]
    rest["lead"] = {**good["lead"], "state": "missing", "onset_ms": None, "deviation_ms": None, "length_ms": None}
    stand_in.one["practice"] = scene.practice(asked, [rest, {**good, "rep": 2}])  # type: ignore[list-item]
    page = open_page()
    stand_in.send({"kind": "grid", "seat": "one", "practice": None})
    page.locator("#habit li").last.click()
    expect(page.locator("#replay [role=status]")).to_contain_text("Nothing was heard in this rep")
    expect(page.locator("#replay [data-hear=rep]")).to_be_disabled()
    expect(page.locator("#replay [data-hear=model]")).to_be_enabled()
