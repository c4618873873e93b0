"""What the page says when something is not there, and how it finds back."""

from typing import Any

import pytest
from playwright.sync_api import expect

from tests.browser import scene
from tests.browser.conftest import Inside, Open
from tests.browser.stand_in import StandIn, eventually

AGAIN = "Load this page again: it may be older than the daemon."


def run_of() -> Any:
    """A run in progress with twelve reps."""
    asked = scene.asked(scene.DRILLS[0])
    return scene.practice(asked, scene.dozen(asked, 60))


@pytest.mark.parametrize(
    ("state", "head"),
    [
        ("no driver", "No MIDI driver"),
        ("waiting", "Waiting for your chanter"),
        ("gone", "The chanter is unplugged"),
        ("ended", "End of the recording"),
    ],
)
def test_an_empty_strip_says_what_to_do(stand_in: StandIn, open_page: Open, state: Any, head: str) -> None:
    """Before a run, the place of the strip says what is the matter, in the daemon's words, and offers the inputs."""
    stand_in.one["chanter"].update({"state": state, "said": "Plug it in, or listen to the simulated player."})
    page = open_page()
    expect(page.locator("#empty h2")).to_have_text(head)
    expect(page.locator("#empty p")).to_have_text("Plug it in, or listen to the simulated player.")
    page.locator("#empty-input").click()
    expect(page.locator("#inputs button").first).to_be_visible()


def test_a_chanter_that_is_ready_is_told_how_to_begin(open_page: Open) -> None:
    """With everything there, the page says which key starts and what will happen."""
    page = open_page()
    expect(page.locator("#empty p")).to_contain_text("Press Start or the space bar. You hear four clicks")


def test_unplugging_shows_and_plugging_in_clears(stand_in: StandIn, open_page: Open) -> None:
    """In the middle of a run the strip stays, a notice comes and goes, and the sign changes its shape."""
    stand_in.one["practice"] = run_of()
    page = open_page()
    sign = page.locator("#chanter-sign").get_attribute("d")
    told = {"kind": "chanter", "seat": "one"}
    stand_in.send({**told, "chanter": {**scene.chanter(), "state": "gone", "said": "It was unplugged."}})
    expect(page.locator("#unready span")).to_have_text("It was unplugged.")
    expect(page.locator("#chanter-state")).to_have_text("unplugged")
    expect(page.locator("#strip .bar").first).to_be_visible()
    assert page.locator("#chanter-sign").get_attribute("d") != sign
    stand_in.send({**told, "chanter": scene.chanter()})
    expect(page.locator("#unready")).to_be_hidden()


def test_the_daemon_goes_away_and_comes_back(stand_in: StandIn, open_page: Open, complaints: list[str]) -> None:
    """What was on screen stays, a notice says that it will be tried again, and the page finds back by itself."""
    stand_in.one["practice"] = run_of()
    page = open_page()
    verdict = page.locator("#verdict").inner_text()
    stand_in.stop()
    expect(page.locator("#away span")).to_contain_text("The daemon does not answer")
    expect(page.locator("#verdict")).to_have_text(verdict)
    expect(page.locator("#habit li")).to_have_count(12)
    stand_in.one["practice"] = None
    stand_in.start()
    expect(page.locator("#away")).to_be_hidden(timeout=15_000)
    expect(page.locator("#toggle")).to_have_text("Start")
    expect(page.locator("#verdict")).to_have_text(verdict)
    complaints.clear()


def test_it_waits_longer_each_time(inside: Inside) -> None:
    """Half a second, then twice as long each time, up to eight seconds."""
    waits = inside("core/live.js", "(m) => [0, 1, 2, 3, 4, 5, 20].map(m.wait_ms)")
    assert waits == [500, 1000, 2000, 4000, 8000, 8000, 8000]


def test_a_request_without_a_daemon_is_told(stand_in: StandIn, open_page: Open, complaints: list[str]) -> None:
    """Starting while the daemon is away says that nothing was changed."""
    page = open_page()
    stand_in.stop()
    expect(page.locator("#away")).to_be_visible()
    page.keyboard.press("Space")
    expect(page.locator("#refused span")).to_contain_text("nothing was changed")
    complaints.clear()


def test_a_silent_browser_offers_sound(stand_in: StandIn, open_page: Open) -> None:
    """While the browser holds the sound back during a run, a button asks for it; one press and the notice goes."""
    stand_in.one["practice"] = run_of()
    page = open_page()
    page.context.add_init_script(
        """let pressed = false;
        addEventListener("click", () => { pressed = true; }, true);
        globalThis.AudioContext = class extends AudioContext {
          #held = true;
          get state() { return this.#held ? "suspended" : "running"; }
          async resume() { this.#held = !pressed; }
        };"""
    )
    page.reload()
    expect(page.locator("#silent")).to_be_visible()
    page.locator("#silent button").click()
    expect(page.locator("#silent")).to_be_hidden()


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('{"kind": "confetti"}', f"A frame of kind 'confetti' is not known to this page. {AGAIN}"),
        ('{"kind": "rep", "seat": "one"}', f"The frame 'rep' has no 'rep'. {AGAIN}"),
        ("<html>", "Something came from the daemon that is not JSON."),
    ],
)
def test_a_frame_that_is_not_understood_is_shown(
    stand_in: StandIn, open_page: Open, complaints: list[str], text: str, said: str
) -> None:
    """It is told at the foot of the page, with what to do, and on the console, and the connection goes on."""
    page = open_page()
    stand_in.send_text(text)
    expect(page.locator("#trouble span")).to_have_text(said)
    assert complaints
    complaints.clear()
    stand_in.send({"kind": "note", "seat": "one", "note": "high A", "at_ns": 1, "onset_ms": None})
    expect(page.locator("#sounding")).to_have_text("high A")
    stand_in.send_text(text)
    expect(page.locator("#trouble span")).to_have_text(f"{said} (2 times)")
    page.locator("#trouble button").click()
    expect(page.locator("#trouble")).to_be_hidden()
    complaints.clear()


def test_a_stray_note_is_shown(stand_in: StandIn, open_page: Open) -> None:
    """A MIDI number that is not a note of the chanter is shown."""
    page = open_page()
    stand_in.send({"kind": "note", "seat": "one", "note": None, "midi": 62, "at_ns": 1, "onset_ms": None})
    expect(page.locator("#sounding")).to_have_text("MIDI 62 is not a chanter note")


def test_learning_lights_the_scale(stand_in: StandIn, open_page: Open) -> None:
    """Known notes, the next one and those to come are told in words; the button begins and cancels."""
    page = open_page()
    page.locator("#setup-open").click()
    page.locator("#learning").click()
    told = {"state": "running", "next_note": "C", "heard": 3, "said": "Heard B. Now play C."}
    stand_in.send({"kind": "learning", "seat": "one", "learning": told})
    expect(page.locator("#learning-said")).to_have_text("Heard B. Now play C.")
    words = page.locator("#scale small").all_inner_texts()
    assert words == ["known"] * 3 + ["next"] + ["to come"] * 5
    page.locator("#learning").click()
    expect(page.locator("#learning")).to_have_text("Cancel")
    eventually(stand_in, lambda asked: [how for how, what, _ in asked if what == "learning"] == ["POST", "DELETE"])


def test_calibration_counts_and_tells(stand_in: StandIn, open_page: Open) -> None:
    """While it runs the clicks heard are counted; then the result is shown in ms with its scatter."""
    page = open_page()
    page.locator("#setup-open").click()
    expect(page.locator("#calibration-result")).to_have_text("14 ms is taken off each note.")
    page.locator("#calibration").click()
    told = {"grid": scene.grid(), "clicks": 16, "heard": 9, "calibration_ms": None, "spread_ms": None}
    frame = {"kind": "calibration", "seat": "one"}
    stand_in.send({**frame, "calibration": {**told, "state": "running", "said": "Play on every click."}})
    expect(page.locator("#calibration-result")).to_have_text("9 of 16")
    done = {**told, "heard": 16, "calibration_ms": 23.4, "spread_ms": 5.6, "state": "done", "said": "Done."}
    stand_in.send({**frame, "calibration": done})
    expect(page.locator("#calibration-result")).to_have_text("23 ms ± 6 ms is taken off each note.")
    eventually(stand_in, lambda asked: ("POST", "calibration", {"seat": "one"}) in asked)


def test_verdicts_come_with_their_words(stand_in: StandIn, open_page: Open) -> None:
    """Crushed, missing and wrong notes are told in words under their step, in the verdict, and in the habit."""
    asked = scene.asked(scene.DRILLS[0])
    stand_in.one["practice"] = scene.practice(asked, [])
    page = open_page()
    counts = {"final": True, "in_a_row": 0, "clean_count": 0, "played_count": 1, "heard_ns": 1, "sent_ns": 1}
    good = [scene.rep(asked, 60, index) for index in range(3)]
    for rep, under, said in [
        (scene.crushed(good[0], 0), "crushed", "The low G was crushed: 11 ms."),
        (scene.missing(good[1], 1), "missing", "The D was missing."),
        (scene.wrong(good[2], 2, "low A"), "low A, not low G", "The low G came out as low A."),
    ]:
        stand_in.send({**rep, "kind": "rep", "seat": "one", **counts})
        expect(page.locator("#verdict")).to_have_text(said)
        expect(page.locator("#strip .word.odd")).to_have_text(under)
        expect(page.locator("#habit .verdict-word").first).to_have_text(rep["faults"][0]["fault"])
