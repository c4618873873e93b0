"""Who plays: the dialog against a real daemon, and what the page says of a history that cannot be kept."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from chanterd.serving.daemon import Daemon
from tests.browser.conftest import Inside
from tests.history.practised_runs import practise, somebody
from tests.serving.played_seat import HandSource
from tests.serving.running_daemon import served

Real = tuple[Page, Daemon]


@pytest.fixture
def real(browser: Browser, tmp_path: Path) -> Iterator[Real]:
    """The page on a real daemon whose history knows Ailsa, who has played; Player 1 sits there."""
    with served(tmp_path, [HandSource()]) as (address, daemon):
        store = daemon.history.store
        practise(store, somebody(store), [4.0, 90.0])
        context = browser.new_context(viewport={"width": 1280, "height": 800})
        page = context.new_page()
        page.goto(address)
        expect(page.locator("#players-open")).to_have_text("Player 1")
        yield page, daemon
        context.close()


def test_a_player_is_chosen_by_keyboard_alone(real: Real) -> None:
    """Open, one step to the first name, Enter; Escape leads back to the button, which says who sits there now."""
    page, daemon = real
    page.locator("#players-open").focus()
    page.keyboard.press("Enter")
    ailsa = page.locator("[data-player]").first
    expect(ailsa).to_have_text("Ailsa 1 run, last on 31 March 2026")
    ailsa.focus()
    page.keyboard.press("Enter")
    expect(page.locator("#players-open")).to_have_text("Ailsa")
    expect(ailsa).to_have_attribute("aria-pressed", "true")
    page.keyboard.press("Escape")
    expect(page.locator("#players")).to_be_hidden()
    expect(page.locator("#players-open")).to_be_focused()
    assert daemon.seats["1"].player.name == "Ailsa"


def test_somebody_new_says_a_name_and_sits_down(real: Real) -> None:
    """The field is emptied; a name that is taken is refused in the dialog, and stays to be mended."""
    page, _ = real
    page.locator("#players-open").click()
    page.locator("#player-new").fill("<b>Rory</b>")
    page.locator("#player-new").press("Enter")
    expect(page.locator("#players-open")).to_have_text("<b>Rory</b>")
    expect(page.locator("#player-new")).to_have_value("")
    page.locator("#player-new").fill("AILSA")
    page.locator("#player-new").press("Enter")
    expect(page.locator("#players-refused")).to_contain_text("There is a player called 'AILSA' already")
    expect(page.locator("#player-new")).to_have_value("AILSA")


def test_the_name_that_was_thought_up_is_changed(real: Real) -> None:
    """In the header at once, and in the list."""
    page, _ = real
    page.locator("#players-open").click()
    page.locator("#player-now").fill("Isla")
    page.locator("#player-rename button").click()
    expect(page.locator("#players-open")).to_have_text("Isla")
    expect(page.locator("#players-list")).to_contain_text("Isla")


def test_deleting_is_asked_twice_and_says_what_goes(real: Real) -> None:
    """The focus is on the harmless button; then they are gone, and somebody else sits there."""
    page, daemon = real
    page.locator("#players-open").click()
    page.locator("[data-player]").first.click()
    expect(page.locator("#players-open")).to_have_text("Ailsa")
    page.locator("#player-delete").click()
    expect(page.locator("#player-keep")).to_be_focused()
    expect(page.locator("#player-sure p")).to_contain_text(
        "Ailsa, 1 run, last on 31 March 2026: all of it will be deleted"
    )
    page.keyboard.press("Enter")
    expect(page.locator("#player-delete")).to_be_focused()
    page.locator("#player-delete").click()
    page.locator("#player-gone").click()
    expect(page.locator("#players-open")).to_have_text("Player 1")
    expect(page.locator("#players-list")).not_to_contain_text("Ailsa")
    assert daemon.seats["1"].player.name == "Player 1"


@pytest.mark.parametrize(("link", "name"), [("#player-csv", "chanterd.zip"), ("#player-json", "chanterd.json")])
def test_what_is_kept_can_be_taken_away(real: Real, link: str, name: str) -> None:
    """As a file that is saved."""
    page, _ = real
    page.locator("#players-open").click()
    with page.expect_download() as saved:
        page.locator(link).click()
    assert saved.value.suggested_filename == name


def test_a_history_that_cannot_be_kept_is_told_until_it_can_be(real: Real) -> None:
    """In the daemon's own words, above all else; practice goes on."""
    page, daemon = real
    daemon._on_history_trouble("The history cannot be written: the disk is full. Practice goes on.")
    expect(page.locator("#not-saved")).to_contain_text("the disk is full")
    expect(page.locator("#toggle")).to_be_enabled()
    daemon._on_history_trouble(None)
    expect(page.locator("#not-saved")).to_be_hidden()


def test_how_much_is_kept_is_said_in_words(inside: Inside) -> None:
    """Days as they are read aloud; one run is no "1 runs"."""
    kept = "(m, runs, last_day) => m.keptWords({ runs, last_day })"
    assert inside("setup/player_words.js", kept, 0, None) == "nothing played yet"
    assert inside("setup/player_words.js", kept, 1, "2026-01-09") == "1 run, last on 9 January 2026"
    assert inside("setup/player_words.js", kept, 12, "2025-12-31") == "12 runs, last on 31 December 2025"
