"""The verdict and its picture: of one rep always, by one limit, and of the player who sits there."""

from typing import Any

from playwright.sync_api import Page, expect

from tests.browser import scene
from tests.browser.conftest import Open
from tests.browser.stand_in import StandIn, eventually

ASKED = scene.asked(scene.DRILLS[0])
STAMPS = {"heard_ns": 1, "sent_ns": 2}


def running(reps: Any = ()) -> Any:
    """A run in progress."""
    return scene.practice(ASKED, list(reps))


def judged(rep: Any, *, final: bool = True) -> dict[str, Any]:
    """A rep frame."""
    counts = {"in_a_row": 1, "clean_count": 1, "played_count": 1}
    return {**rep, "kind": "rep", "seat": "one", "final": final, **counts, **STAMPS}


def step(rep: Any, index: int) -> dict[str, Any]:
    """The frame of a step of this rep as it sounds; -1 is the note before."""
    part = rep["lead"] if index < 0 else rep["steps"][index]
    kind = "lead" if index < 0 else part["kind"]
    read = {key: value for key, value in part.items() if key != "kind"}
    return {
        **read,
        "step": index,
        "step_kind": kind,
        "length_ms": None,
        "kind": "step",
        "seat": "one",
        "rep": rep["rep"],
        "final": False,
        **STAMPS,
    }


def resting(rep: Any) -> Any:
    """The same rep with nothing played in it."""
    nothing = {"state": "missing", "onset_ms": None, "deviation_ms": None, "length_ms": None}
    steps = [{**one, **nothing} for one in rep["steps"]]
    rest = {**rep, "skipped": True, "clean": False, "anchor_ms": None, "said": "Nothing was played.", "steps": steps}
    return {**rest, "lead": {**rep["lead"], **nothing}, "placement": {"off_ms": None, "of_click": None}}


def bars(page: Page) -> int:
    """How many bars of steps are in the strip."""
    return page.locator("#strip .bar:not(.soft)").count()


def test_the_sentence_and_the_picture_are_of_one_rep(stand_in: StandIn, open_page: Open) -> None:
    """A first verdict, corrected by the final one, stays with its picture until the next rep's first step sounds."""
    stand_in.one["practice"] = running()
    page = open_page()
    first, second = scene.rep(ASKED, 60, 0), scene.rep(ASKED, 60, 1)
    late = scene.faulty(first, scene.fault("late", 3, "Late: the C came 60 ms after the beat."))
    stand_in.send(step(first, 0))
    expect(page.locator("#strip .bar").first).to_be_attached()
    expect(page.locator("#verdict")).to_have_text("")
    stand_in.send(judged(late, final=False))
    expect(page.locator("#verdict")).to_have_text("Late: the C came 60 ms after the beat.")
    stand_in.send(judged(first))
    expect(page.locator("#verdict")).to_have_text("Clean.")
    stand_in.send(step(second, -1))
    expect(page.locator("#strip .coming")).to_be_attached()
    expect(page.locator("#verdict")).to_have_text("Clean.")
    assert bars(page) == 3
    stand_in.send(step(second, 0))
    expect(page.locator("#verdict")).to_have_text("")
    expect(page.locator("#strip .coming")).to_have_count(0)
    assert bars(page) == 1


def test_one_limit_colours_and_names(stand_in: StandIn, open_page: Open) -> None:
    """With a limit of 25 ms a step 24 ms late is 'on' and has no colour, one 26 ms late is 'late' everywhere."""
    rep = scene.rep(ASKED, 60, 0, noise_ms=0.0)
    for index, off_ms in enumerate((24.0, -24.0, 26.0, 26.0)):
        rep["steps"][index].update(
            {"deviation_ms": off_ms, "onset_ms": (rep["steps"][index]["expected_ms"] or 0.0) + off_ms}
        )
    rep["anchor_ms"] = 26.0
    limited: Any = {**running([rep]), "on_beat_ms": 25.0}
    stand_in.one["practice"] = limited
    page = open_page(1920, 1080)
    expect(page.locator("#strip .word.late")).to_have_text(["late", "late"])
    expect(page.locator("#strip .word.early")).to_have_count(0)
    expect(page.locator("#strip .join.late")).to_have_count(2)
    expect(page.locator("#habit .place")).to_have_text("26 late")


def test_a_rest_is_no_failure_and_silence_gets_help(stand_in: StandIn, open_page: Open) -> None:
    """A rep without a note is a rest, not a fault; after two of them in silence the page says what to look at."""
    stand_in.one["practice"] = running()
    stand_in.one["chanter"]["sounding"] = None
    page = open_page()
    stand_in.send(judged(resting(scene.rep(ASKED, 60, 0))))
    expect(page.locator("#verdict")).to_have_text("Rest")
    expect(page.locator("#habit .rep.rest .verdict-word")).to_have_text("rest")
    expect(page.locator("#more")).to_have_text("")
    stand_in.send(judged(resting(scene.rep(ASKED, 60, 1))))
    expect(page.locator("#more")).to_contain_text("I hear nothing from Kitchen chanter.")


def test_a_run_that_is_over_ends_with_what_was_played(stand_in: StandIn, open_page: Open) -> None:
    """A rep that the stop cut off is not the headline, nor a row: also not after the page was loaded again."""
    good = scene.rep(ASKED, 60, 0)
    over = running([good, resting(scene.rep(ASKED, 60, 1))])
    stand_in.one["ended"] = {"practice": over, "continuation": None, "remarks": None}
    page = open_page()
    expect(page.locator("#verdict")).to_have_text("Clean.")
    expect(page.locator("#habit .rep")).to_have_count(1)


def test_another_player_does_not_find_the_run_of_the_one_before(stand_in: StandIn, open_page: Open) -> None:
    """Who sits there changes: strip, figures and list begin empty."""
    stand_in.one["practice"] = running(scene.dozen(ASKED, 60))
    page = open_page()
    stand_in.send({"kind": "grid", "seat": "one", "practice": None})
    expect(page.locator("#habit .rep")).to_have_count(12)
    other: Any = {**scene.seat(), "player": {"number": 2, "name": "Morag"}}
    stand_in.send({"kind": "resync", "lost": 0, "state": scene.state([other])})
    expect(page.locator("#habit .rep")).to_have_count(0)
    expect(page.locator("#empty")).to_be_visible()


def test_a_run_shows_in_every_view_and_the_space_bar_stops_it(stand_in: StandIn, open_page: Open) -> None:
    """In the book a line says what goes on, with a button; the space bar stops it there, and then starts nothing."""
    stand_in.one["practice"] = running(scene.dozen(ASKED, 60))
    page = open_page()
    expect(page.locator("#elsewhere")).to_be_hidden()
    page.locator("nav a", has_text="Plans").click()
    expect(page.locator("#elsewhere a")).to_contain_text("Grip from B to C at 60")
    page.keyboard.press("Space")
    eventually(stand_in, lambda asked: [one[:2] for one in asked if one[1] == "practice"] == [("DELETE", "practice")])
    stand_in.send({"kind": "grid", "seat": "one", "practice": None})
    expect(page.locator("#elsewhere")).to_be_hidden()
    page.keyboard.press("Space")
    page.wait_for_timeout(100)
    assert len([one for one in stand_in.asked if one[1] == "practice"]) == 1


def test_a_ladder_keeps_the_last_reps_and_says_what_cost_the_tempo(stand_in: StandIn, open_page: Open) -> None:
    """At another tempo the reps before stay in the list, and the rep that led there is still shown and named."""
    crushed = scene.crushed(scene.rep(ASKED, 64, 3), 0)
    before: Any = {**running([*(scene.rep(ASKED, 64, one) for one in range(3)), crushed]), "ladder": scene.ladder()}
    stand_in.one["practice"] = before
    page = open_page()
    expect(page.locator("#habit .rep")).to_have_count(4)
    down = scene.ladder(click_bpm=60.0, row=0, move="down", said="5 misses. Down to 60.")
    stand_in.send({"kind": "grid", "seat": "one", "practice": {**running(), "ladder": down}})
    expect(page.locator("#verdict")).to_have_text("5 misses. Down to 60.")
    expect(page.locator("#more")).to_contain_text("The low G was crushed: 11 ms.")
    expect(page.locator("#strip .word.odd").first).to_be_attached()
    expect(page.locator("#habit .rep")).to_have_count(4)


def test_the_count_in_counts_up(inside: Any) -> None:
    """One, two, three, four, as pipers count in (common practice, no source)."""
    body = "(m, grid) => [-4, -3.01, -3, -2, -1, -0.01].map((beat) => m.counting(beat, grid))"
    assert inside("ui/words.js", body, scene.grid()) == ["1", "1", "2", "3", "4", "4"]


def test_to_practise_the_list_of_all_drills_is_not_needed(open_page: Open) -> None:
    """It is half a megabyte: fetched when the chooser is first opened, not before."""
    page = open_page()
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.reload()
    expect(page.locator("#stages button").first).to_be_visible()
    assert not any("/api/drills" in one for one in asked)
    page.locator("#title").click()
    expect(page.locator("#drills li").first).to_be_visible()
    assert any("/api/drills" in one for one in asked)
