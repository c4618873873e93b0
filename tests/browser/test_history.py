"""Past runs on the page: found by day and ornament, opened, heard again, taken away, deleted for good."""

from playwright.sync_api import Page, Route, expect

from tests.browser import scene
from tests.browser.conftest import Inside, Open
from tests.browser.stand_in import StandIn


def listed(open_page: Open) -> Page:
    """The view, with the three runs of ``past_runs``."""
    page = open_page()
    page.locator("nav a", has_text="History").click()
    expect(page.locator("#history-days a")).to_have_count(3)
    return page


def test_runs_stand_under_their_days_and_can_be_narrowed(open_page: Open) -> None:
    """The newest day first; one ornament alone, and all again."""
    page = listed(open_page)
    expect(page.locator("#history-days h2")).to_have_text(["Wednesday 1 April 2026", "Tuesday 31 March 2026"])
    expect(page.locator("#history-days a").last).to_contain_text("12:00 grip from B to C 60 4 of 5 clean")
    page.locator("#history-ornament").select_option("birl")
    expect(page.locator("#history-days a")).to_have_count(1)
    page.locator("#history-ornament").select_option("everything")
    expect(page.locator("#history-days a")).to_have_count(3)


def test_the_newest_run_is_open_with_its_strip(open_page: Open) -> None:
    """Nothing has to be chosen first: its name, its large strip and its reps are there."""
    page = listed(open_page)
    newest = page.locator("#history-days a").first
    expect(newest).to_have_attribute("aria-current", "true")
    expect(page.locator("#run-strip .bar").first).to_be_attached()
    expect(page.locator("#run-reps li").first).to_be_visible()


def test_the_tempi_of_a_ladder_are_one_row(inside: Inside) -> None:
    """Runs by one rule and of one drill, one right after the other; another drill or a later climb has its own row."""

    def run(number: int, **other: object) -> dict[str, object]:
        way = {"drill": "grip from B to C"}
        one = {"run": number, "way": way, "stage": None, "rule": "60 to 80", "day": "2030-05-01"}
        return {**one, "began_ns": number * 40e9, "until_ns": number * 40e9 + 30e9, **other}

    newest_first = [run(6, began_ns=900e9), run(5, rule=None), run(4, way={"drill": "birl from E"}), run(2), run(1)]
    rows = inside(
        "history/state.js", "(m, runs) => m.byLadder(runs).map((row) => row.map((one) => one.run))", newest_first
    )
    assert rows == [[6], [5], [4], [2, 1]]


def test_without_the_click_a_rep_is_heard_by_the_players_own_pulse(inside: Inside) -> None:
    """A run that fell 300 ms behind the clicks that were not there: the model's click goes along with it."""
    asked = scene.asked(scene.DRILLS[0])
    rep = scene.rep(asked, 60, 4)
    for one in [rep["lead"], *rep["steps"]]:
        one["expected_ms"] += 300.0
        one["onset_ms"] = (one["onset_ms"] or 0.0) + 300.0
    grid = {"click_bpm": 60, "clicks_per_rep": 2, "ornament_beat": 1, "sequence": [asked]}
    body = "(m, rep, table) => { const told = m.played(rep, table); return told.notes[0].at_s - told.beat_s; }"
    kept = inside("practise/replay.js", body, rep, {**grid, "click_off": True})
    assert abs(kept - ((rep["lead"]["onset_ms"] or 0.0) - 9300.0) / 1000) < 0.002


def test_older_runs_are_a_button_away(open_page: Open, stand_in: StandIn) -> None:
    """Where the daemon gives no more at once; they stay on the list when one of them is opened."""
    page = open_page()
    one = stand_in.past_runs.runs()[-1]
    newest = [stand_in.past_runs.runs()[0], *({**one, "run": 1000 - number} for number in range(1, 500))]

    def answer(route: Route) -> None:
        route.fulfill(json=[one] if "before=501" in route.request.url else newest)

    page.route("**/api/history/runs?*", answer)
    page.locator("nav a", has_text="History").click()
    expect(page.locator("#history-days a")).to_have_count(500)
    page.locator("#history-older").click()
    expect(page.locator("#history-days a")).to_have_count(501)
    expect(page.locator("#history-older")).to_be_hidden()
    page.locator("#history-days a").last.click()
    expect(page.locator("#run-whole")).to_be_visible()
    expect(page.locator("#history-days a")).to_have_count(501)


def test_a_rep_of_long_ago_is_heard_beside_its_model(open_page: Open) -> None:
    """By keyboard: the run is opened, a rep is walked to, left plays it and right the model."""
    page = listed(open_page)
    page.locator("#history-days a").last.focus()
    page.keyboard.press("Enter")
    expect(page.locator("#run-name")).to_have_text("Grip from B to C, Tuesday 31 March 2026")
    expect(page.locator("#run-figures")).to_contain_text("4 of 5, 2 in a row")
    expect(page.locator("#run-reps li")).to_have_count(5)
    page.locator("#run-reps [aria-selected=true]").focus()
    page.keyboard.press("ArrowDown")
    page.keyboard.press("ArrowDown")
    expect(page.locator("#run-more")).to_contain_text("90 ms after the beat")
    page.keyboard.press("ArrowLeft")
    expect(page.locator("#run-replay [role=status]")).to_have_text("You hear rep 3 as you played it, at full speed.")
    page.keyboard.press("ArrowRight")
    expect(page.locator("#run-replay [role=status]")).to_have_text("You hear the model, at full speed.")
    page.locator("nav a", has_text="Practise").click()
    expect(page.locator("#run-replay [data-hear=model]")).to_have_attribute("aria-pressed", "true")  # not drawn there
    page.locator("nav a", has_text="History").click()
    expect(page.locator("#run-replay [data-hear=model]")).to_have_attribute("aria-pressed", "false")


def test_a_late_answer_does_not_undo_what_was_chosen(open_page: Open) -> None:
    """The view is opened again, a run and one of its reps are chosen, and only then the first list comes."""
    page = listed(open_page)
    held: list[Route] = []
    page.route("**/api/history/runs?player=*", lambda route: route.fallback() if held else held.append(route))
    page.locator("nav a", has_text="Practise").click()
    page.locator("nav a", has_text="History").click()
    page.locator("#history-days a").last.click()
    expect(page.locator("#run-name")).to_have_text("Grip from B to C, Tuesday 31 March 2026")
    first = page.locator("#run-reps [role=option]").last
    first.click()
    expect(first).to_have_attribute("aria-selected", "true")
    with page.expect_response("**/api/history/runs?player=*"):
        held[0].fallback()
    page.evaluate("() => new Promise((done) => setTimeout(done, 300))")
    expect(first).to_have_attribute("aria-selected", "true")
    expect(page.locator("#run-name")).to_have_text("Grip from B to C, Tuesday 31 March 2026")


def test_a_take_is_taken_away_and_its_drill_practised(stand_in: StandIn, open_page: Open) -> None:
    """A link to the MIDI file of that run; the drill at its tempo on the practice view."""
    page = listed(open_page)
    page.locator("#history-days a", has_text="birl").click()
    expect(page.locator("#run-name")).to_contain_text("Birl from E")
    with page.expect_download() as told:
        page.locator("#run-take").click()
    assert told.value.suggested_filename == "run-3.mid"
    page.locator("#run-practise").click()
    expect(page.locator("#tempo")).to_have_value("72")
    assert stand_in.running


def test_deleting_is_asked_twice_and_final(stand_in: StandIn, open_page: Open) -> None:
    """The safe answer has the focus; kept, nothing changes; deleted, it is gone from the list."""
    page = listed(open_page)
    page.locator("#history-days a", has_text="birl").click()
    expect(page.locator("#run-name")).to_contain_text("Birl")  # a question about the run before goes with it
    page.locator("#run-delete").click()
    expect(page.locator("#run-no")).to_be_focused()
    page.keyboard.press("Enter")
    expect(page.locator("#run-sure")).to_be_hidden()
    page.locator("#run-delete").click()
    page.locator("#run-yes").click()
    expect(page.locator("#history-days a")).to_have_count(2)
    expect(page.locator("#run-name")).not_to_contain_text("Birl")
    assert len(stand_in.past_runs.runs()) == 2


def test_a_run_that_is_gone_is_told(open_page: Open, complaints: list[str]) -> None:
    """An old address says so, and the list is there all the same."""
    page = open_page(path="#history/99")
    expect(page.locator("#refused span")).to_have_text("There is no run 99; it may have been deleted.")
    expect(page.locator("#history-days a")).to_have_count(3)
    complaints.clear()


def test_times_are_those_of_the_players_own_place(inside: Inside) -> None:
    """Wherever the browser is: noon in UTC is one in the afternoon an hour east of it."""
    began = {"began_ns": 1_774_958_400_000_000_000, "utc_offset_s": 3600}
    assert inside("history/words.js", "(m, run) => m.timeWords(run)", began) == "13:00"
