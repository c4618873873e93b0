"""Every page of a class in every state, light and dark, on a screen and on a phone, checked by axe-core."""

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from chanterd.hearing.simulated import DemoSource
from chanterd.serving.access.address_watch import Network
from chanterd.serving.access.grants import Grant, Role
from chanterd.serving.access.lockout import FROM_ONE
from tests.browser.classroom import PATIENCE_MS
from tests.browser.test_axe import SIZES, THEMES, found
from tests.serving.routes.test_enter import LAN, Class
from tests.serving.running_daemon import ask, served

Scene = Callable[[Class, Page], None]


@pytest.fixture
def room(tmp_path: Path) -> Iterator[Class]:
    """Two simulated players, and a class that is open to the network."""
    with served(tmp_path, [DemoSource(1), DemoSource(2)], Network([LAN]), ["Ailsa", "Bram"]) as (here, daemon):
        yield Class(daemon, here)


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    """A browser of its own."""
    context = browser.new_context(viewport={"width": 1280, "height": 800}, reduced_motion="reduce")
    yield context.new_page()
    context.close()


def call(room: Class) -> None:
    """Begin a class."""
    ask(room.here, "POST", "api/class", {"drill": "grip from B to C", "click_bpm": 200}).raise_for_status()


def held(room: Class) -> None:
    """Hold the wall."""
    ask(room.here, "POST", "api/class/freeze", {"frozen": True}).raise_for_status()


def lit(room: Class) -> None:
    """One seat has the wall."""
    ask(room.here, "POST", "api/class/spotlight", {"seat": "2"}).raise_for_status()


def desk_before(room: Class, page: Page) -> None:
    """No class yet."""
    page.goto(f"{room.here}desk/")
    expect(page.locator("#seats .seat")).to_have_count(2)


def desk_during(room: Class, page: Page) -> None:
    """Reps have been played."""
    call(room)
    desk_before(room, page)
    expect(page.locator("#seats .word").first).not_to_be_empty(timeout=PATIENCE_MS)


def desk_choosing(room: Class, page: Page) -> None:
    """The list of drills is open, the ladder's rule too."""
    desk_before(room, page)
    page.locator("#climbs").check()
    page.locator("#drill").fill("grip")
    expect(page.locator("#drills")).to_be_visible()


def desk_held(room: Class, page: Page) -> None:
    """The wall is held."""
    desk_during(room, page)
    held(room)
    expect(page.locator("#freeze")).to_have_attribute("aria-pressed", "true")


def desk_lit(room: Class, page: Page) -> None:
    """One seat has the wall, and plays alone."""
    desk_during(room, page)
    lit(room)
    ask(room.here, "POST", "api/class/alone", {"seat": "2"}).raise_for_status()
    expect(page.locator(".seat[data-lit]")).to_be_visible()


def desk_after(room: Class, page: Page) -> None:
    """The class is over; something was refused."""
    desk_during(room, page)
    ask(room.here, "DELETE", "api/class").raise_for_status()
    expect(page.locator("#after h2")).to_be_visible(timeout=PATIENCE_MS)
    page.locator("#last-row").fill("far")
    page.locator("#last-row").press("Tab")
    expect(page.locator("#refused")).to_be_visible()


def seat_waiting(room: Class, page: Page) -> None:
    """Before a class."""
    page.goto(room.daemon.entrance.way_in(Grant(Role.SEAT, "2")) or "")
    expect(page.locator("#verdict")).to_have_text("Wait for your teacher to begin.")
    expect(page.locator("#strip")).to_be_hidden()


def seat_playing(room: Class, page: Page) -> None:
    """A rep has been played, and the click is offered."""
    seat_waiting(room, page)
    call(room)
    ask(room.here, "POST", "api/class/sound", {"sound": "2"}).raise_for_status()
    expect(page.locator("#row")).to_contain_text("clean in a row", timeout=PATIENCE_MS)
    expect(page.locator("#marks .number").first).to_be_attached(timeout=PATIENCE_MS)


def seat_without_midi(room: Class, page: Page) -> None:
    """A browser that has no Web MIDI."""
    page.add_init_script("delete Navigator.prototype.requestMIDIAccess;")
    seat_waiting(room, page)
    expect(page.locator("#sending-said")).to_contain_text("chanterd join")


def seat_sending(room: Class, page: Page) -> None:
    """No chanter is plugged in."""
    page.add_init_script("navigator.requestMIDIAccess = async () => ({ inputs: new Map(), onstatechange: null });")
    seat_waiting(room, page)
    page.locator("#send").click()
    expect(page.locator("#sending-said")).to_contain_text("No chanter is plugged in here.")


def entrance(room: Class, page: Page) -> None:
    """Nothing typed yet."""
    page.goto(room.there)
    expect(page.get_by_label("Your code")).to_be_focused()


def wrong(room: Class, page: Page) -> None:
    """A wrong code was typed."""
    entrance(room, page)
    page.get_by_label("Your code").fill("7K2M")
    page.keyboard.press("Enter")
    expect(page.get_by_role("alert")).to_contain_text("This code opens nothing.")


def locked(room: Class, page: Page) -> None:
    """Too many were."""
    for _ in range(FROM_ONE):
        room.ask("POST", "api/enter", {"code": "7K2M"})
    entrance(room, page)
    page.get_by_label("Your code").fill("7K2M")
    page.keyboard.press("Enter")
    expect(page.get_by_role("alert")).to_contain_text("Wait 60 seconds")


def wall_during(room: Class, page: Page) -> None:
    """Reps and the band."""
    call(room)
    page.goto(f"{room.here}wall/")
    expect(page.locator("#wall .sentence")).to_be_attached(timeout=PATIENCE_MS)


def wall_lit(room: Class, page: Page) -> None:
    """One seat has it; it is held, and to click here."""
    wall_during(room, page)
    lit(room)
    held(room)
    ask(room.here, "POST", "api/class/sound", {"sound": "wall"}).raise_for_status()
    expect(page.locator("#wall .name").first).to_contain_text("Rep ")


def cards(room: Class, page: Page) -> None:
    """A card for each seat."""
    page.goto(f"{room.here}seats/")
    expect(page.locator("#seats li")).to_have_count(2)


SCENES: dict[str, Scene] = {
    "desk before a class": desk_before,
    "desk, a drill being chosen": desk_choosing,
    "desk during a class": desk_during,
    "desk, the wall held": desk_held,
    "desk, one seat on the wall and alone": desk_lit,
    "desk after a class": desk_after,
    "seat, waiting": seat_waiting,
    "seat, playing": seat_playing,
    "seat without Web MIDI": seat_without_midi,
    "seat without a chanter": seat_sending,
    "entrance": entrance,
    "entrance after a wrong code": wrong,
    "entrance, locked": locked,
    "wall in a class": wall_during,
    "wall, one seat, held": wall_lit,
    "codes of the seats": cards,
}


@pytest.mark.parametrize("name", SCENES)
def test_axe_core_finds_nothing(room: Class, page: Page, name: str) -> None:
    """Nothing is wider than the window either (WCAG 1.4.10)."""
    SCENES[name](room, page)
    for width, height in SIZES:
        page.set_viewport_size({"width": width, "height": height})
        for theme in THEMES:
            page.emulate_media(color_scheme=theme, reduced_motion="reduce")
            page.wait_for_timeout(50)
            assert found(page) == [], (width, theme)
        assert page.evaluate("document.documentElement.scrollWidth") <= width
