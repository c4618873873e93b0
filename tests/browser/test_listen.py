"""The view "Just play": the last ornament, how each went today, the drill that is offered, a recording taken apart."""

from typing import Any

import pytest
from playwright.sync_api import FilePayload, Page, Route, expect

from tests.browser import scene
from tests.browser.conftest import Open
from tests.browser.stand_in import StandIn, eventually
from tests.browser.tune_frames import PLAIN, tune_ornament

FREE: dict[str, Any] = {"rows": [], "work_on": "", "drill": None, "offer": None}
ROW: dict[str, Any] = {
    "ornament": "grip",
    "played": 3,
    "clean": 2,
    "held_ms": 61.5,
    "quick_ms": 30.2,
    "faults": [{"fault": "crushed", "times": 1}],
}


def step(
    note: str, kind: str, onset_ms: float | None, length_ms: float | None, state: str = "played"
) -> dict[str, Any]:
    """One step as a frame has it."""
    times = {"onset_ms": onset_ms, "length_ms": length_ms}
    return {"note": note, "kind": kind, "state": state, "played_note": None, **times}


def ornament(**changed: Any) -> dict[str, Any]:
    """A grip from B to C, of which the second low G was crushed."""
    return {
        "kind": "ornament",
        "seat": "one",
        "final": False,
        "start_ms": 1000.0,
        "theme_ms": 1105.0,
        "ornament": "grip",
        "drill": "grip from B to C",
        "or": [],
        "clean": False,
        "faults": [{"fault": "crushed", "step": 2, "said": "You crushed the second low G: 12 ms, too short to hear."}],
        "said": "You crushed the second low G: 12 ms, too short to hear.",
        "steps": [
            step("low G", "held", 1000.0, 62.0),
            step("D", "quick", 1062.0, 31.0),
            step("low G", "held", 1093.0, 12.0),
            step("C", "theme", 1105.0, None),
        ],
        **changed,
    }


@pytest.fixture
def listening(open_page: Open) -> Page:
    """The view, at a telephone's width."""
    page = open_page(390, 844)
    page.locator("footer a", has_text="Just play").click()
    expect(page.locator("#listen-name")).to_be_visible()
    return page


def test_the_last_ornament_is_large_with_its_strip_and_its_sentence(listening: Page, stand_in: StandIn) -> None:
    """Nothing is pressed; the strip is a sentence for those who listen to the page."""
    stand_in.send(ornament())
    expect(listening.locator("#listen-name")).to_have_text("Grip")
    expect(listening.locator("#listen-way")).to_have_text("from B to C")
    expect(listening.locator("#listen-said")).to_have_text("You crushed the second low G: 12 ms, too short to hear.")
    strip = listening.get_by_role("img", name="Grip from B to C: low G 62 ms, D 31 ms, low G 12 ms, C.")
    expect(strip.locator(".bar")).to_have_count(4)
    expect(strip.locator(".bar.faulty")).to_have_count(1)
    expect(listening.locator("#listen-lead")).to_contain_text("without a click nothing is early or late")


def test_what_is_final_takes_the_place_of_what_was_shown_before(listening: Page, stand_in: StandIn) -> None:
    """And an older one that only becomes final does not."""
    stand_in.send(ornament())
    stand_in.send(ornament(final=True, drill=None, ornament="doubling", said="Clean.", faults=[], clean=True))
    expect(listening.locator("#listen-name")).to_have_text("Doubling")
    stand_in.send(ornament(start_ms=400.0, theme_ms=500.0, final=True))
    stand_in.send({"kind": "free", "seat": "one", "free": {**FREE, "work_on": "Work on the grip: 2 of 3 clean."}})
    expect(listening.locator("#listen-work")).to_have_text("Work on the grip: 2 of 3 clean.")
    expect(listening.locator("#listen-name")).to_have_text("Doubling")


def test_a_missing_step_has_its_place_and_its_word(listening: Page, stand_in: StandIn) -> None:
    """It has no time; the picture shows it all the same."""
    steps = [
        step("low G", "held", 1000.0, 62.0),
        step("D", "quick", None, None, "missing"),
        step("C", "theme", 1062.0, 1.0),
    ]
    stand_in.send(ornament(steps=steps, faults=[]))
    expect(listening.locator("#listen-strip .bar.missing")).to_have_count(1)
    expect(listening.locator("#listen-strip")).to_contain_text("missing")


def test_the_name_of_a_crushed_first_step_is_not_cut_off(listening: Page, stand_in: StandIn) -> None:
    """The longest name there is, over the shortest bar, at either edge of the picture."""
    steps = [
        step("high G", "quick", 1000.0, 5.0),
        step("low G", "quick", 1005.0, 400.0),
        step("high A", "theme", 1405.0, 1.0),
    ]
    stand_in.send(ornament(steps=steps, faults=[]))
    expect(listening.locator("#listen-strip .note")).to_have_count(3)
    cut = listening.locator("#listen-strip").evaluate("""(strip) => {
        const box = strip.getBoundingClientRect();
        const within = (one) => one.left >= box.left - 1 && one.right <= box.right + 1;
        const texts = [...strip.querySelectorAll("text")];
        return texts.filter((one) => !within(one.getBoundingClientRect())).map((one) => one.textContent);
    }""")
    assert cut == []


def test_each_ornament_is_counted_and_the_one_to_work_on_is_practised(listening: Page, stand_in: StandIn) -> None:
    """Its button leads to the chanter."""
    work = {"work_on": "Work on the grip: 2 of 3 clean, crushed once.", "drill": "grip from B to C"}
    stand_in.send({"kind": "free", "seat": "one", "free": {**FREE, "rows": [ROW], **work}})
    cells = listening.locator("#listen-rows tbody tr").locator("th, td")
    expect(cells).to_have_text(["gripcrushed 1", "3", "2", "62", "30"])
    listening.locator("#listen-practise").click()
    expect(listening.locator("#ornament")).to_have_text("Grip")


def test_its_sizes_are_beside_the_players_own_hand(listening: Page, stand_in: StandIn) -> None:
    """In the same ornament, once that was played before."""
    stand_in.send(ornament())
    expect(listening.locator("#listen-hand")).to_have_text("")
    stand_in.send({"kind": "free", "seat": "one", "free": {**FREE, "rows": [ROW]}})
    said = "Held notes 37 ms, as a rule 62. Gracenotes and taps 31 ms, as a rule 30."
    expect(listening.locator("#listen-hand")).to_have_text(said)


def test_enter_starts_the_drill_that_is_offered(listening: Page, stand_in: StandIn) -> None:
    """One key, wherever the focus is but in a control."""
    listening.keyboard.press("Enter")
    said = "Grip from B to C, about 62: with the click?"
    offer = {"drill": "grip from B to C", "click_bpm": 62.0, "said": said}
    stand_in.send({"kind": "free", "seat": "one", "free": {**FREE, "offer": offer}})
    expect(listening.locator("#listen-offer p")).to_have_text(said)
    assert not [what for _, what, _ in stand_in.asked if what == "offer"]
    listening.locator("#listen-name").click()
    listening.keyboard.press("Enter")
    expect(listening.locator("#practise")).to_be_visible()
    eventually(stand_in, lambda asked: [one[1:] for one in asked if one[1] == "offer"] == [("offer", {"seat": "one"})])


def test_nothing_is_scrolled_sideways(listening: Page, stand_in: StandIn) -> None:
    """On a telephone."""
    stand_in.send(ornament())
    stand_in.send({"kind": "free", "seat": "one", "free": {**FREE, "rows": [ROW]}})
    expect(listening.locator("#listen-rows tbody tr")).to_have_count(1)
    assert listening.evaluate("document.documentElement.scrollWidth") <= 390
    assert listening.locator("#listen-rows .scroll").evaluate("one => one.scrollWidth <= one.clientWidth")


FOUND: dict[str, Any] = {
    "ornaments": [
        {**ornament(theme_ms=at * 1000.0, clean=clean, **more), "kind": None}
        for at, clean, more in (
            (2, False, {}),
            (4, True, {"said": "Clean.", "faults": []}),
            (20, True, {"ornament": "doubling", "drill": "doubling from low A to C", "said": "Clean.", "faults": []}),
        )
    ],
    "passages": [
        {
            "start_ms": 1000,
            "end_ms": 17000,
            "kind": "drill",
            "drill": "grip from B to C",
            "click_bpm": 62.0,
            "placement": {"judged": True, "said": "Usually 12 ms after your own beat; late in 2 of 8."},
        },
        {
            "start_ms": 17000,
            "end_ms": 19000,
            "kind": "silence",
            "drill": None,
            "click_bpm": None,
            "placement": {"judged": False, "said": "No beat is certain here."},
        },
        {
            "start_ms": 19000,
            "end_ms": 24000,
            "kind": "free",
            "drill": None,
            "click_bpm": None,
            "placement": {"judged": False, "said": "No beat is certain here."},
        },
    ],
    "summary": [{**ROW, "faults": {"crushed": 1}}, {**ROW, "ornament": "doubling", "played": 1, "faults": {}}],
}
LESSON = FilePayload(name="lesson.mid", mimeType="audio/midi", buffer=b"MThd")


@pytest.fixture
def recording(listening: Page) -> Page:
    """A recording was opened, by keyboard as by mouse."""
    listening.route("**/api/listen?*", lambda route: route.fulfill(json=FOUND))
    listening.locator("#listen-file").focus()
    expect(listening.locator("#listen-file")).to_be_focused()
    listening.locator("#listen-file").set_input_files(LESSON)
    expect(listening.locator("#take-name")).to_have_text("lesson.mid")
    expect(listening.locator("#take-name")).to_be_focused()
    return listening


def test_a_recording_is_taken_apart(recording: Page) -> None:
    """Its passages, and how each ornament went; a drill in it may be practised."""
    rows = recording.locator("#take-passages li")
    expect(rows).to_contain_text(["0:01 to 0:17", "silence", "free playing"])
    expect(rows.first).to_contain_text("late in 2 of 8")
    expect(rows.nth(1)).not_to_contain_text("beat")
    expect(recording.locator("#take-summary tbody tr")).to_contain_text(["grip", "doubling"])
    assert recording.evaluate("document.documentElement.scrollWidth") <= 390
    rows.first.get_by_role("button", name="Practise it").click()
    expect(recording.locator("#tempo")).to_have_value("62")


def test_every_ornament_of_it_is_listed_with_its_time_and_what_was_heard(recording: Page) -> None:
    """Picked by the arrows; only those of one name, or only what was not clean."""
    options = recording.locator("#take-ornaments [role=option]")
    expect(options).to_contain_text(["0:02 grip from B to C", "0:04", "0:20 doubling from low A to C"])
    card = recording.locator("#take-ornaments .picked-one")
    expect(card.locator(".said")).to_have_text("You crushed the second low G: 12 ms, too short to hear.")
    expect(card.get_by_role("img", name="low G 12 ms")).to_be_visible()
    options.first.focus()
    recording.keyboard.press("ArrowDown")
    expect(card.locator("h4")).to_have_text("0:04 Grip from B to C")
    expect(options.nth(1)).to_be_focused()
    recording.locator("#take-passages [data-from='19000']").click()
    expect(card.locator("h4")).to_have_text("0:20 Doubling from low A to C")
    recording.locator("#take-summary [data-only='grip']").click()
    expect(options).to_have_count(2)
    recording.locator("#take-ornaments").get_by_label("only what was not clean").check()
    expect(options).to_have_count(1)
    expect(recording.locator("#take-ornaments [role=status]")).to_have_text("1 ornament")


def test_it_goes_into_the_history_after_a_question(recording: Page) -> None:
    """Whose, what and of which day; afterwards each passage leads to its run."""
    asked: list[str] = []
    kept = [{"kind": "drill", "run": 12, "start_ms": 1000.0}, {"kind": "free", "run": 4, "start_ms": 19000.0}]

    def keep(route: Route) -> None:
        asked.append(route.request.url)
        route.fulfill(json=kept)

    recording.route("**/api/listen/keep?*", keep)
    recording.get_by_role("button", name="Keep it in the history").click()
    said = recording.locator("#take-sure span")
    expect(said).to_contain_text("Keep 1 drill and 1 stretch of free playing in ")
    expect(said).to_contain_text("the date of the file?")
    expect(recording.locator("#take-no")).to_be_focused()
    recording.locator("#take-no").click()
    expect(recording.locator("#take-sure")).to_be_hidden()
    assert asked == []
    recording.get_by_role("button", name="Keep it in the history").click()
    recording.locator("#take-yes").click()
    expect(recording.locator("#take-kept")).to_have_text("Kept: 1 drill and 1 stretch of free playing.")
    links = recording.locator("#take-passages a")
    assert [link.get_attribute("href") for link in links.all()] == ["#history/12", "#history/free-4"]
    expect(recording.locator("#take-keep")).to_be_hidden()
    assert "seat=one" in asked[0]


def run_of_tune(**changed: Any) -> dict[str, Any]:
    """The frame of a tune that was noticed."""
    grid = {
        "beat0_ns": 0,
        "click_bpm": 116.0,
        "count_in": 0,
        "clicks_per_rep": 2,
        "ornament_beat": 0,
        "click_off": True,
    }
    run = {
        "tune": "seven-gulls",
        "title": "Seven Gulls",
        "first": 0,
        "last": 63,
        **PLAIN,
        "standard": "steady",
        "grid": grid,
        "begins_ns": 0,
        "going": True,
        "noticed": True,
        "cursor": 3,
        "result": None,
        **changed,
    }
    return {"kind": "tune", "seat": "one", "tune_run": run}


def test_a_tune_that_is_noticed_is_shown_with_a_cursor_and_marks(listening: Page, stand_in: StandIn) -> None:
    """Nothing is pressed; the marks are of this time through, and go with the tune."""
    stand_in.send(run_of_tune())
    expect(listening.locator("#listen-title")).to_have_text("You are playing Seven Gulls, bar 1.")
    expect(listening.locator("#listen-music [data-note='3'].cursor")).to_have_count(1)
    said = "You crushed the G gracenote: 9 ms, too short to hear."
    stand_in.send(dict(tune_ornament(4)))
    stand_in.send(dict(tune_ornament(6, clean=False, said=said)))
    expect(listening.locator("#listen-said")).to_have_text(said)
    expect(listening.locator("#listen-music .mark.steady")).to_have_count(1)
    expect(listening.locator("#listen-music .mark.not-yet")).to_have_count(1)
    stand_in.send({"kind": "cursor", "seat": "one", "note": 9, "step": 0, "heard_ns": 1, "sent_ns": 2})
    expect(listening.locator("#listen-music [data-note='9'].cursor")).to_have_count(1)
    assert listening.evaluate("document.documentElement.scrollWidth") <= 390
    listening.locator("#listen-leave").click()
    eventually(stand_in, lambda asked: [how for how, what, _ in asked if what == "practice"] == ["DELETE"])
    stand_in.send(run_of_tune(going=False))
    expect(listening.locator("#listen-title")).to_have_text("You played Seven Gulls.")
    expect(listening.locator("#listen-music .cursor")).to_have_count(0)
    expect(listening.locator("#listen-leave")).to_be_hidden()


def test_the_part_that_is_played_is_the_one_that_is_shown(listening: Page, stand_in: StandIn) -> None:
    """Its notes, and no other part's."""
    stand_in.send(run_of_tune(cursor=60))
    expect(listening.locator("#listen-music [data-note='60'].cursor")).to_have_count(1)
    expect(listening.locator("#listen-music [data-note='0']")).to_have_count(0)


def test_a_tune_that_is_noticed_is_in_nobodys_way(listening: Page, stand_in: StandIn) -> None:
    """Nothing clicks, and the space bar stops nothing, since nothing was started."""
    stand_in.send(run_of_tune())
    expect(listening.locator("#listen-title")).to_be_visible()
    listening.locator("#listen-name").click()
    listening.keyboard.press(" ")
    expect(listening.locator("#silent")).to_be_hidden()
    assert not [what for _, what, _ in stand_in.asked if what == "practice"]


def test_while_a_tune_is_followed_its_judge_has_the_say(listening: Page, stand_in: StandIn) -> None:
    """What the notes alone look like says nothing then; what is played after the tune does again."""
    stand_in.send(ornament())
    stand_in.send(run_of_tune())
    expect(listening.locator("#listen-name")).to_have_text("Following your tune")
    expect(listening.locator("#listen-drawn")).to_be_hidden()
    stand_in.send(dict(tune_ornament(6)))
    stand_in.send(ornament(start_ms=20000.0, theme_ms=20105.0))
    expect(listening.locator("#listen-name")).to_have_text("Doubling")
    expect(listening.locator("#listen-way")).to_have_text("from E to E, bar 2")
    expect(listening.locator("#listen-said")).to_have_text("Clean.")
    expect(listening.get_by_role("img", name="Doubling from E to E: high G 30 ms, E 44 ms, F 36 ms")).to_be_visible()
    expect(listening.locator("#listen-lead")).to_contain_text("your own pulse")
    stand_in.send(run_of_tune(going=False))
    expect(listening.locator("#listen-name")).to_have_text("Grip")


def test_a_newcomer_reads_where_the_simulated_player_plays(open_page: Open, stand_in: StandIn) -> None:
    """It never plays by itself; with a chanter nothing is said of it."""
    stand_in.one["chanter"]["input"] = "demo"
    page = open_page()
    page.evaluate("location.hash = 'listen'")
    expect(page.locator("#listen-simulated")).to_be_visible()
    expect(page.locator("#listen-simulated")).to_contain_text("simulated player")
    stand_in.send({"kind": "chanter", "seat": "one", "chanter": {**scene.chanter(), "input": "kitchen"}})
    expect(page.locator("#listen-simulated")).to_be_hidden()
    stand_in.send({"kind": "chanter", "seat": "one", "chanter": {**scene.chanter(), "input": "demo"}})
    expect(page.locator("#listen-simulated")).to_be_visible()
    page.get_by_role("link", name="Start a tune").click()
    expect(page.locator("#tunes-list a").first).to_be_visible()
    page.go_back()
    page.get_by_role("link", name="Start a drill").click()
    expect(page.locator("#practise")).to_be_visible()
