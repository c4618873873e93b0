"""The tempo ladder on the page: setting its rule, watching it, and what ends it."""

from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.browser import scene
from tests.browser.conftest import Inside, Open
from tests.browser.stand_in import StandIn, eventually

SPOKEN = """() => {
  window.spoken = [];
  window.speechSynthesis.speak = (words) => window.spoken.push(words.text);
}"""


def run(stand_in: StandIn, reps: int = 2, **now: Any) -> None:
    """A ladder runs, ``reps`` reps into its present tempo."""
    wanted = scene.asked(scene.DRILLS[0])
    practice = scene.practice(wanted, [scene.rep(wanted, 64.0, index) for index in range(reps)], 64.0)
    practice["ladder"] = scene.ladder(**now)
    stand_in.send({"kind": "grid", "seat": "one", "practice": practice})


def ladder_frame(**now: Any) -> dict[str, Any]:
    """A rep has led somewhere."""
    return {"kind": "ladder", "seat": "one", "ladder": scene.ladder(**now)}


def opened(page: Page) -> Page:
    """The page with the ladder's panel open."""
    page.locator("#ladder-now").press("Enter")
    return page


def value(page: Page, field: str, unit: str) -> str:
    """What a field of the rule shows."""
    return page.locator(f'[data-rule="{field}"][data-unit="{unit}"]').input_value()


def test_a_ladder_is_started_by_its_rule(open_page: Open, stand_in: StandIn) -> None:
    """Ticking it makes Start ask for the rule that is offered, from its first tempo."""
    page = opened(open_page())
    page.locator("#climbs").check()
    expect(page.locator("#toggle")).to_have_text("Climb")
    page.locator("#toggle").click()
    eventually(stand_in, bool)
    body = stand_in.asked[0][2]
    assert (body["click_bpm"], body["ladder"]) == (60, scene.RULE)


def test_the_rule_is_set_in_clicks_or_in_beats(open_page: Open, stand_in: StandIn) -> None:
    """With two clicks to the beat, a top of 80 beats is 160 clicks, and both numbers are shown everywhere."""
    page = opened(open_page())
    page.locator("#to-beat").select_option("2")
    expect(page.locator('[data-rule="top_bpm"][data-unit="beats"]')).to_have_value("40")
    assert value(page, "top_bpm", "clicks") == "80"
    page.locator('[data-rule="top_bpm"][data-unit="beats"]').fill("80")
    page.locator('[data-rule="top_bpm"][data-unit="beats"]').press("Tab")
    expect(page.locator('[data-rule="top_bpm"][data-unit="clicks"]')).to_have_value("160")
    expect(page.locator("#ladder-now")).to_have_text("Ladder 60 to 160, 3 in a row")
    page.locator("#row-offered button", has_text="10").click()
    page.locator("#toggle").click()
    eventually(stand_in, bool)
    assert stand_in.asked[0][2]["ladder"] == {**scene.RULE, "top_bpm": 160, "in_a_row": 10}


def test_a_rule_that_cannot_be_is_refused_as_it_is_typed(open_page: Open) -> None:
    """A first tempo above the top, or no reps in a row: said at once, in the player's words, and not taken."""
    page = opened(open_page())
    for selector, typed, said in (
        ('[data-rule="first_bpm"][data-unit="clicks"]', "90", "First tempo is 90 clicks, above the top, 80."),
        ("#row-count", "0", "Clean in a row is 0; it must be from 1 to 100."),
    ):
        page.locator(selector).fill(typed)
        page.locator(selector).press("Tab")
        expect(page.locator("#refused span")).to_contain_text(said)
    expect(page.locator("#ladder-now")).to_have_text("Tempo ladder: off")


def test_a_tempo_is_typed_in_beats(open_page: Open, stand_in: StandIn) -> None:
    """160 clicks are a march at 80 with two clicks to the beat: typing 80 beats asks for 160 clicks."""
    page = open_page()
    page.locator("#to-beat").select_option("2")
    expect(page.locator("#beats")).to_have_value("30")
    page.locator("#beats").fill("80")
    page.locator("#beats").press("Enter")
    expect(page.locator("#tempo")).to_have_value("160")
    page.keyboard.press("Space")
    eventually(stand_in, lambda asked: bool(asked) and asked[0][2]["click_bpm"] == 160)


def test_a_kind_of_tune_sets_the_tempi(open_page: Open, stand_in: StandIn) -> None:
    """Choosing a march fills first, top and performing tempo from its beats, with the source in words."""
    page = opened(open_page())
    page.locator("#to-beat").select_option("2")
    page.locator("#pace").select_option("march in 2/4, solo")
    expect(page.locator("#pace-said")).to_contain_text("60 to 84 beats a minute. Common practice, no source.")
    told = [value(page, field, "clicks") for field in ("first_bpm", "top_bpm", "performing_bpm")]
    assert told == ["88", "168", "132"]
    assert stand_in.asked == []


def test_what_is_no_number_is_refused(open_page: Open) -> None:
    """One sentence names the field and what was typed."""
    page = opened(open_page())
    page.locator("#tries").fill("many")
    page.locator("#tries").press("Tab")
    expect(page.locator("#refused span")).to_contain_text("'Tries before going down a notch' of the ladder is 'many'")


def test_it_is_seen_where_the_ladder_stands(open_page: Open, stand_in: StandIn) -> None:
    """Clicks and beats, how much of the row, tries left, where both ways lead, and the rungs with the present one."""
    page = open_page()
    expect(page.locator("#climb")).to_be_hidden()
    run(stand_in)
    expect(page.locator("#climb-row")).to_have_text("2 of 3 in a row")
    expect(page.locator("#climb-tries")).to_have_text("4 tries left")
    expect(page.locator("#climb-clicks")).to_have_text("64")
    expect(page.locator("#climb-beats")).to_have_text("64 beats")
    expect(page.locator("#climb-next")).to_contain_text("up to 68")
    expect(page.locator("#climb-next")).to_contain_text("down to 60")
    assert page.locator("#climb-pips .pip.full").count() == 2
    expect(page.locator("#rungs .bpm.here")).to_have_text("64")
    stand_in.send(ladder_frame(row=0, tries_left=1))
    expect(page.locator("#climb-tries")).to_have_text("last try")


def test_with_two_clicks_to_the_beat_both_numbers_stand_everywhere(open_page: Open, stand_in: StandIn) -> None:
    """64 clicks are 32 beats; so on every rung, and of both tempi that may come next."""
    page = open_page()
    page.locator("#to-beat").select_option("2")
    run(stand_in)
    expect(page.locator("#climb-beats")).to_have_text("32 beats")
    expect(page.locator("#beats")).to_have_value("32")
    expect(page.locator("#climb-next")).to_contain_text("up to 68 (34 beats)")
    expect(page.locator("#climb-next")).to_contain_text("down to 60 (30 beats)")
    expect(page.locator("#rungs .beats")).to_have_text(["30", "32", "33", "34", "36", "38", "40"])


def test_a_new_tempo_is_announced_in_large_letters(open_page: Open, stand_in: StandIn) -> None:
    """Until the first rep at it, the announcement stands where the verdict does, with what comes."""
    page = open_page()
    run(stand_in, reps=0)
    expect(page.locator("#verdict")).to_have_text("3 in a row. Up to 64.")
    expect(page.locator("#more")).to_have_text("Four clicks are counted in at the new tempo.")
    run(stand_in, reps=1)
    expect(page.locator("#verdict")).to_have_text("Clean.")


def test_changes_are_spoken_only_if_asked_for(open_page: Open, stand_in: StandIn) -> None:
    """Off at first; once ticked, each change is said aloud, and a rep that changes nothing is not."""
    page = open_page()
    page.evaluate(SPOKEN)
    run(stand_in)
    stand_in.send(ladder_frame(move="up"))
    expect(page.locator("#climb-row")).to_be_visible()
    opened(page).locator("#speak").check()
    stand_in.send(ladder_frame(move="down", said="5 tries without 3 in a row. Down to 60."))
    stand_in.send(ladder_frame(row=1))
    expect(page.locator("#climb-row")).to_have_text("1 of 3 in a row")
    assert page.evaluate("window.spoken") == ["5 tries without 3 in a row. Down to 60."]


def test_the_rule_is_locked_while_it_runs(open_page: Open, stand_in: StandIn) -> None:
    """Changing it ends the ladder, and the page says so; nothing starts again by itself."""
    page = open_page()
    run(stand_in)
    expect(page.locator("#climb")).to_be_visible()
    opened(page)
    page.locator("#row-offered button", has_text="5").click()
    eventually(stand_in, lambda asked: asked == [("DELETE", "practice", None)])
    expect(page.locator("#refused span")).to_contain_text("your change has ended it")
    stand_in.send({"kind": "grid", "seat": "one", "practice": None})
    page.locator("#toggle").click()
    eventually(stand_in, lambda asked: len(asked) > 1)
    assert [(method, body and body["ladder"]["in_a_row"]) for method, _, body in stand_in.asked] == [
        ("DELETE", None),
        ("POST", 5),
    ]


def test_the_tempo_keys_are_the_ladders_while_it_runs(open_page: Open, stand_in: StandIn) -> None:
    """An arrow key ends nothing by accident: the page says who sets the tempo."""
    page = open_page()
    run(stand_in)
    expect(page.locator("#climb")).to_be_visible()
    page.keyboard.press("ArrowUp")
    expect(page.locator("#refused span")).to_contain_text("The ladder sets the tempo while it runs")
    assert stand_in.asked == []


def test_the_end_is_told_and_the_first_tempo_waits(open_page: Open, stand_in: StandIn) -> None:
    """Proved is in large letters, what it came to below; and the next ladder begins where this one began."""
    page = open_page()
    run(stand_in)
    said = "Proved: 3 in a row at 66, the performing tempo."
    over = {"phase": "over", "move": "end", "outcome": "proved", "full_row": "", "no_row": ""}
    stand_in.send(ladder_frame(**over, said=said, whole="The whole ladder: 9 of 12 clean."))
    stand_in.send({"kind": "grid", "seat": "one", "practice": None})
    expect(page.locator("#verdict")).to_have_text(said)
    expect(page.locator("#more")).to_have_text("The whole ladder: 9 of 12 clean.")
    expect(page.locator("#tempo")).to_have_value("60")
    expect(page.locator("#climb-next")).to_be_empty()


@pytest.mark.parametrize(("width", "height"), [(1280, 800), (1920, 1080)])
def test_its_reps_can_be_picked_when_it_is_over(open_page: Open, stand_in: StandIn, width: int, height: int) -> None:
    """Beside the ladder that ended the reps stand in whole lines, and so does what hears them; nothing is cut off."""
    page = open_page(width, height)
    run(stand_in, reps=12)
    stand_in.send(ladder_frame(phase="over", move="end", outcome="proved", said="Proved.", full_row="", no_row=""))
    stand_in.send({"kind": "grid", "seat": "one", "practice": None})
    expect(page.locator("#replay")).to_be_visible()
    expect(page.locator("#climb-row")).to_be_hidden()
    reps, card = page.locator("#habit").bounding_box(), page.locator("#replay").bounding_box()
    line = page.locator("#habit li").first.bounding_box()
    assert reps
    assert card
    assert line
    assert reps["height"] >= 8 * line["height"]
    assert card["y"] + card["height"] <= height


@pytest.mark.parametrize(("width", "height"), [(390, 844), (1280, 800), (1920, 1080)])
def test_it_fits_the_screen(open_page: Open, stand_in: StandIn, width: int, height: int) -> None:
    """Nothing is cut off at the side, and on a wide screen nothing below."""
    page = open_page(width, height)
    run(stand_in)
    expect(page.locator("#climb")).to_be_visible()
    wide, high = page.evaluate("[document.documentElement.scrollWidth, document.documentElement.scrollHeight]")
    assert wide <= width
    assert high <= height or width < 1000


@pytest.mark.parametrize(
    ("bpm", "shown", "more"),
    [
        (60.0, [60, 64, 66, 68, 72, 76, 80], (False, True)),
        (72.0, [64, 66, 68, 72, 76, 80, 84], (True, True)),
        (100.0, [76, 80, 84, 88, 92, 96, 100], (True, False)),
    ],
)
def test_a_long_ladder_shows_the_rungs_about_the_present_one(
    inside: Inside, bpm: float, shown: list[float], more: tuple[bool, bool]
) -> None:
    """Seven of them, the performing tempo in its place among them, and whether more follow above and below."""
    told = scene.ladder(click_bpm=bpm, rungs=[60 + 4 * notch for notch in range(11)])
    near = inside("ladder/rungs.js", "(m, ladder) => m.near(ladder)", told)
    assert (near["list"], (near["below"], near["above"])) == (shown, more)


def test_a_performing_tempo_may_be_left_empty(open_page: Open, stand_in: StandIn) -> None:
    """Empty is none: nothing of it is drawn, and none is asked of the daemon."""
    page = open_page()
    page.locator("#ladder-now").click()
    field = page.locator("#rule input[data-rule=performing_bpm][data-unit=clicks]")
    field.fill("")
    field.press("Enter")
    expect(page.locator("#climbs")).to_be_checked()  # who sets a rule means to climb by it
    page.locator("#toggle").press("Enter")
    eventually(stand_in, lambda asked: asked[-1:] != [] and asked[-1][2]["ladder"]["performing_bpm"] is None)
    expect(field).to_have_value("")


def test_the_picture_has_no_performing_tempo_that_nobody_named(inside: Inside) -> None:
    """Neither a rung nor a word of it."""
    ladder: Any = scene.ladder()
    ladder["rule"] = {**ladder["rule"], "performing_bpm": None}
    assert None not in inside("ladder/rungs.js", "(m, ladder) => m.stops(ladder)", ladder)
    assert "performing" not in inside("ladder/words.js", "(m, ladder) => m.rungsSentence(ladder)", ladder)


def test_the_ladder_counts_the_rep_that_the_sentence_counts(open_page: Open, stand_in: StandIn) -> None:
    """A verdict comes before the rep is closed; "3 in a row" beside "2 of 3" would be two things."""
    page = open_page()
    run(stand_in, row=2)
    expect(page.locator("#climb-row")).to_have_text("2 of 3 in a row")
    counts = {"final": False, "in_a_row": 3, "clean_count": 3, "played_count": 3, "heard_ns": 1, "sent_ns": 1}
    rep = scene.rep(scene.asked(scene.DRILLS[0]), 64.0, 2)
    stand_in.send({**rep, **counts, "kind": "rep", "seat": "one", "said": "Clean. 3 in a row."})
    expect(page.locator("#climb-row")).to_have_text("3 of 3 in a row")
    expect(page.locator("#climb-pips .full")).to_have_count(3)
    stand_in.send({**rep, **counts, "kind": "rep", "seat": "one", "final": True, "clean": False, "in_a_row": 0})
    stand_in.send(ladder_frame(row=0, tries_left=3))
    expect(page.locator("#climb-row")).to_have_text("0 of 3 in a row")
