"""Tunes over weeks in the progress view, with the real daemon."""

from dataclasses import replace
from pathlib import Path

from playwright.sync_api import Browser, expect

from chanterd.hearing.inputs import open_input
from chanterd.hearing.simulated_tune import HUMAN
from chanterd.history.players import create
from chanterd.history.store import open_store
from chanterd.history.wall_clock import WallTime, read_wall
from tests.browser.real_daemon import looking
from tests.history.played_tunes import play_tune, simulated
from tests.serving.running_daemon import served

WEEK_NS = 7 * 86_400 * 10**9


def test_a_tune_is_shown_week_by_week(tmp_path: Path, browser: Browser) -> None:
    """Whoever played nothing but tunes sees them: the share that was clean, the tempo, each ornament then and now."""
    store = open_store(None, tmp_path)
    now = read_wall()
    person = create(store, "Player 1", now)
    before = WallTime(now.ns - 2 * WEEK_NS, now.utc_offset_s)
    play_tune(store, person, simulated(habits=replace(HUMAN, crushed=1.0)), wall=before)
    play_tune(store, person, simulated(), wall=now)
    play_tune(store, person, simulated("net-mender"), "net-mender", wall=before)
    store.close()
    console: list[str] = []
    with served(tmp_path, [open_input("demo")]) as (address, _), looking(browser, address, console=console) as page:
        page.goto(address + "#progress")
        expect(page.locator("#progress-tune option")).to_have_text(["Seven Gulls", "The Net Mender"])
        expect(page.locator("#tune-share-picture .point")).to_have_count(2)
        expect(page.locator("#tune-tempo-picture .point")).to_have_count(2)
        expect(page.locator("#tune-ways tbody tr").first).to_contain_text("clean")
        expect(page.locator("#one")).to_be_hidden()
        page.locator("#progress-tune").select_option("The Net Mender")
        expect(page.locator("#tune-share-picture .point")).to_have_count(1)
        expect(page.locator("#tune-ways caption")).to_have_text(
            "Ornaments of The Net Mender, what went worst last first"
        )
        for width, height in ((1280, 800), (1920, 1080), (390, 844)):
            page.set_viewport_size({"width": width, "height": height})
            assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    assert console == []
