"""The wall: legible from the last row, one seat at a time, no names if the teacher says so, a rep played again."""

from math import atan, degrees
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, WebSocketRoute, expect

from tests.browser.classroom import PATIENCE_MS, class_of, opened
from tests.browser.conftest import Inside
from tests.browser.test_axe import found
from tests.serving.running_daemon import ask

CALLED = {"drill": "grip from B to C", "click_bpm": 200}
SIZES = """() => [...document.querySelectorAll('#wall text')].map((one) => {
  const box = one.getBoundingClientRect();
  const size = Number(one.getAttribute('font-size'));
  const drawn = one.getBBox();
  const base = Number(one.getAttribute('y'));
  return {said: one.textContent, size, base, left: drawn.x, right: drawn.x + drawn.width, bottom: box.bottom};
})"""


BOXES = """() => {
  const row = [...document.querySelectorAll('#wall text')];
  const count = row.find((one) => one.getAttribute('text-anchor') === 'end' && /^[0-9]+$/.test(one.textContent));
  const word = count.previousSibling;
  word.textContent = 'another one';
  count.textContent = '12';
  return [word.getBoundingClientRect().toJSON(), count.getBoundingClientRect().toJSON()];
}"""


@pytest.mark.parametrize(("picture_m", "distance_m"), [(2.0, 8.0), (3.0, 10.0), (1.6, 6.0)])
def test_names_can_be_read_from_the_last_row(inside: Inside, picture_m: float, distance_m: float) -> None:
    """Capitals of 16 minutes of arc (ISO 9241-303); capitals are 0.7 of a letter's size (from memory)."""
    size = inside(
        "wall/sight.js",
        "(m, picture_m, distance_m) => m.letterSize({picture_m, distance_m}, 1920)",
        picture_m,
        distance_m,
    )
    capital_m = size * 0.7 * picture_m / 1920
    assert degrees(atan(capital_m / distance_m)) * 60 >= 15.99


def shown(page: Any) -> list[dict[str, Any]]:
    """Every text on the wall."""
    texts: list[dict[str, Any]] = page.evaluate(SIZES)
    return texts


def overlapping(texts: list[dict[str, Any]]) -> list[tuple[str, str]]:
    """Texts on one line that run into each other."""
    return [
        (one["said"], other["said"])
        for index, one in enumerate(texts)
        for other in texts[index + 1 :]
        if abs(one["base"] - other["base"]) < one["size"] / 2
        and one["left"] < other["right"]
        and other["left"] < one["right"]
    ]


@pytest.mark.parametrize(("width", "height"), [(1280, 800), (1920, 1080)])
def test_all_of_a_class_is_on_the_wall_or_on_its_next_page(
    browser: Browser, tmp_path: Path, width: int, height: int
) -> None:
    """Nothing scrolls, nothing is cut off; nothing is smaller than the last row needs; axe-core finds nothing."""
    with class_of(tmp_path, 12) as (page, _), opened(browser, f"{page}wall/", width, height) as wall:
        ask(page, "POST", "api/class", CALLED).raise_for_status()
        expect(wall.locator("#wall .sentence")).to_be_attached(timeout=PATIENCE_MS)
        texts = shown(wall)
        assert len([one for one in texts if one["said"].startswith("Player ")]) >= 3
        least = 8 * 0.00465421 / 0.7 * width / 2  # tan of 16 minutes of arc
        assert min(one["size"] for one in texts) >= least
        assert overlapping(texts) == []
        assert all(one["left"] >= 0 and one["right"] <= width and one["bottom"] <= height for one in texts), texts
        assert wall.evaluate("[document.documentElement.scrollWidth, document.documentElement.scrollHeight]") == [
            width,
            height,
        ]
        assert found(wall) == []
        # The longest word of a fault has room beside the count.
        word, count = wall.evaluate(BOXES)
        assert word["right"] < count["left"]


def test_one_seat_has_the_wall_and_its_rep_is_played_again(browser: Browser, tmp_path: Path) -> None:
    """Its last reps below each other; then one rep with a line that goes through it; then all seats again, unnamed."""
    with class_of(tmp_path, 3) as (page, _), opened(browser, f"{page}wall/") as wall:
        ask(page, "POST", "api/class", CALLED).raise_for_status()
        expect(wall.locator("#wall .sentence")).to_be_attached(timeout=PATIENCE_MS)
        ask(page, "POST", "api/class/spotlight", {"seat": "2"}).raise_for_status()
        expect(wall.locator("#wall .title").first).to_have_text("Player 2: grip from B to C")
        expect(wall.locator("#wall .name").first).to_contain_text("Rep ")
        expect(wall.locator("#wall .sentence")).to_have_count(0)
        ask(page, "DELETE", "api/class").raise_for_status()
        ask(page, "POST", "api/class/replay", {"seat": "2", "factor": 8}).raise_for_status()
        expect(wall.locator("#wall .title").first).to_contain_text("8 times as slow")
        expect(wall.locator("#wall .head")).to_be_attached()
        ask(page, "POST", "api/class/replay", {"seat": None}).raise_for_status()
        ask(page, "POST", "api/class/spotlight", {"seat": None}).raise_for_status()
        ask(page, "POST", "api/wall", {"names": "nothing"}).raise_for_status()
        expect(wall.locator("#wall .title").first).to_have_text("Grip from B to C")
        expect(wall.locator("#wall .name")).to_have_count(0)
        assert not any("Player" in one["said"] for one in shown(wall))


def test_the_clicker_works_where_the_wall_is_in_front(browser: Browser, tmp_path: Path) -> None:
    """Page Down starts the last class again and holds the wall; Page Up stops."""
    with class_of(tmp_path, 2) as (page, daemon), opened(browser, f"{page}wall/") as wall:
        ask(page, "POST", "api/class", CALLED).raise_for_status()
        ask(page, "DELETE", "api/class").raise_for_status()
        for key, state in (
            ("PageDown", "playing"),
            ("PageDown", "frozen"),
            ("PageDown", "playing"),
            ("PageUp", "over"),
        ):
            with wall.expect_response(lambda answer: answer.request.method in ("POST", "DELETE")):
                wall.keyboard.press(key)
            assert daemon.classroom.wall()["state"] == state


def test_a_wall_that_hears_nothing_says_so_where_all_can_see(browser: Browser, tmp_path: Path) -> None:
    """The picture is the last one, and nobody could know; as large as all other words, and gone when it is over."""
    with class_of(tmp_path, 2) as (page, _), opened(browser, "about:blank") as wall:
        held: list[WebSocketRoute] = []

        def hold(link: WebSocketRoute) -> None:
            link.connect_to_server()
            held.append(link)

        wall.route_web_socket("**/live?wall", hold)
        wall.goto(f"{page}wall/")
        expect(wall.locator("#wall .title").first).to_be_attached()
        expect(wall.locator("#trouble")).to_be_hidden()
        held[0].close()
        expect(wall.locator("#trouble")).to_be_visible()
        expect(wall.locator("#trouble")).to_contain_text("The wall has lost the daemon")
        size = wall.locator("#trouble").evaluate("(one) => parseFloat(getComputedStyle(one).fontSize)")
        assert size >= 8 * 0.00465421 / 0.7 * 1280 / 2  # tan of 16 minutes of arc
        expect(wall.locator("#trouble")).to_be_hidden()


def test_a_key_that_does_nothing_says_why_on_the_wall(browser: Browser, tmp_path: Path) -> None:
    """A teacher with a clicker in the hand sees nothing else."""
    with class_of(tmp_path, 2) as (page, _):
        context = browser.new_context()
        wall = context.new_page()
        why = {"said": "Only the desk may do that."}
        wall.route("**/api/class", lambda route: route.fulfill(status=403, json=why))
        wall.goto(f"{page}wall/")
        expect(wall.locator("#wall .title").first).to_be_attached()
        wall.keyboard.press("PageDown")
        expect(wall.locator("#trouble")).to_be_visible()
        expect(wall.locator("#trouble")).to_have_text(why["said"])
        context.close()


def test_pages_turn_by_reps_and_by_time_when_there_are_none(inside: Inside) -> None:
    """After four reps; on a wall that is held or over, by time, so that everybody is seen."""
    pages = "(m, rep, turns) => m.pageOf(rep, 2, turns)"
    assert [inside("wall/plan.js", pages, rep, 0) for rep in (None, 0, 3, 4, 8)] == [0, 0, 0, 1, 0]
    assert [inside("wall/plan.js", pages, 5, turns) for turns in (0, 1, 2)] == [1, 0, 1]
    assert [inside("wall/plan.js", pages, None, turns) for turns in (0, 1)] == [0, 1]


def test_the_last_class_begins_again_with_its_ladder(inside: Inside) -> None:
    """As the daemon describes it, without what it says about it."""
    ladder = {"in_a_row": 3, "share": 0.5, "raise_bpm": 4, "top_bpm": 90, "said": "0 of 2"}
    klass = {"drill": "birl from E", "click_bpm": 80, "layout": "two clicks", "standard": "steady", "ladder": ladder}
    sent = inside("core/klass.js", "(m, klass) => m.again(klass)", klass)
    assert sent == {**klass, "ladder": {"in_a_row": 3, "share": 0.5, "raise_bpm": 4, "top_bpm": 90}}
    assert "ladder" not in inside("core/klass.js", "(m, klass) => m.again(klass)", {**klass, "ladder": None})


@pytest.mark.parametrize(("at_s", "head_ms"), [(-0.1, None), (0.0, -160.0), (0.2, -60.0), (0.32, 0.0), (1.4, None)])
def test_the_line_goes_through_the_rep_at_half_speed(inside: Inside, at_s: float, head_ms: float | None) -> None:
    """From its first note on; before and after there is none."""
    notes = [{"note": "low G", "at_ms": -160.0, "length_ms": 60.0}, {"note": "C", "at_ms": 0.0, "length_ms": None}]
    replay = {"notes": notes, "factor": 2, "began_ns": 10**9}
    assert inside("wall/replayer.js", "(m, one, at) => m.head_ms(one, at)", replay, (1 + at_s) * 1e9) == head_ms


def test_a_breath_is_heard_as_one(inside: Inside) -> None:
    """The first note ends before the next begins."""
    notes = [{"note": "low G", "at_ms": -160.0, "length_ms": 60.0}, {"note": "C", "at_ms": 0.0, "length_ms": None}]
    score = inside("wall/replayer.js", "(m, one) => m.replayScore(one)", {"notes": notes, "factor": 2, "began_ns": 0})
    assert [(one["note"], round(one["at_s"], 3)) for one in score["notes"]] == [("low G", 0), (None, 0.06), ("C", 0.16)]


def test_a_long_name_is_shortened_and_nobody_is_mistaken(inside: Inside) -> None:
    """Whole where there is room; else by the initial; of two that would be alike, each has the seat's number."""
    names = ["Ailsa", "Janet Macallister-Robertson", "Iain Macdonald", "Iain Macleod", "Maximiliana", ""]
    seats = [{"seat": str(seat), "name": name} for seat, name in enumerate(names, 1)]
    short = inside("wall/words.js", "(m, seats) => m.shortNames(seats, (words) => words.length <= 9)", seats)
    assert short == ["Ailsa", "Janet M.", "Iain 3", "Iain 4", "Maximili…", ""]
