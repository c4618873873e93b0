"""A chanter plugged into a learner's browser, and what goes wrong with it; Web MIDI itself is simulated."""

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, WebSocketRoute, expect

from chanterd.hearing.inputs import open_input
from chanterd.serving.access.address_watch import Network
from tests.browser.test_seat import PHONE, SEAT
from tests.serving.routes.test_enter import LAN, Class
from tests.serving.running_daemon import Viewing, served, wait_until

MIDI = """
const inputs = new Map();
const access = { inputs, onstatechange: null };
window.refuse = false;
window.plugIn = (name) => {
  inputs.set(name, { id: name, name, state: "connected", onmidimessage: null });
  access.onstatechange?.();
};
window.pullOut = (name) => { inputs.get(name).state = "disconnected"; access.onstatechange?.(); };
window.play = (name, data) => inputs.get(name).onmidimessage?.({ timeStamp: performance.now(), data });
navigator.requestMIDIAccess = async () => {
  if (window.refuse) throw new DOMException("refused", "NotAllowedError");
  return access;
};
"""
SLOW_TIMERS = """
const timer = window.setTimeout.bind(window);
window.setTimeout = (act, ms = 0, ...rest) => timer(act, Math.max(ms, 60_000), ...rest);
"""
"""The page's own timers as in a page that nobody has looked at for some minutes."""
SAID = "#sending-said"


@pytest.fixture
def room(tmp_path: Path) -> Iterator[Class]:
    """A simulated player, and a free place for Bram."""
    with served(tmp_path, [open_input("demo"), open_input("join")], Network([LAN]), ["Ailsa", "Bram"]) as (
        here,
        daemon,
    ):
        yield Class(daemon, here)


@pytest.fixture
def phone(browser: Browser) -> Iterator[Page]:
    """A phone with Web MIDI; what it complains of fails the test."""
    context = browser.new_context(viewport=PHONE)
    page, complaints = context.new_page(), list[str]()
    page.on("pageerror", lambda error: complaints.append(str(error)))
    page.add_init_script(MIDI)
    yield page
    context.close()
    assert complaints == []


def at_the_seat(room: Class, phone: Page) -> None:
    """The seat's own page is there."""
    phone.goto(room.daemon.entrance.way_in(SEAT) or "")
    expect(phone.locator("#send")).to_be_visible()


def plugged(room: Class, phone: Page) -> None:
    """A chanter is plugged in and sends."""
    at_the_seat(room, phone)
    phone.evaluate("plugIn('my chanter')")
    phone.locator("#send").click()
    expect(phone.locator(SAID)).to_have_text("Sending what you play on my chanter.")


def meanwhile(phone: Page, true: Callable[[], bool]) -> None:
    """Wait until it is true, while the browser's messages pass through here."""
    for _ in range(200):
        if true():
            return
        phone.wait_for_timeout(50)
    raise AssertionError("waited in vain")


def sounding(room: Class) -> Any:
    """What sounds at the seat."""
    return room.daemon.shown(room.daemon.seats["2"])["chanter"]["sounding"]


def test_midi_that_was_not_allowed_can_be_allowed_later(room: Class, phone: Page) -> None:
    """The page says where; the same button tries again."""
    at_the_seat(room, phone)
    phone.evaluate("window.refuse = true; plugIn('my chanter')")
    phone.locator("#send").click()
    expect(phone.locator(SAID)).to_contain_text("Your browser did not allow MIDI.")
    phone.evaluate("window.refuse = false")
    phone.locator("#send").click()
    expect(phone.locator(SAID)).to_have_text("Sending what you play on my chanter.")


def test_a_chanter_that_is_pulled_out_goes_on_when_it_is_back(room: Class, phone: Page) -> None:
    """Its last note ends, the seat waits, and nobody has to press anything; stopped meanwhile, it stays stopped."""
    plugged(room, phone)
    phone.evaluate("play('my chanter', [0x90, 69, 64])")
    wait_until(lambda: sounding(room) == "low A")
    phone.evaluate("pullOut('my chanter')")
    expect(phone.locator(SAID)).to_contain_text("The chanter was unplugged. Plug it in again")
    wait_until(lambda: sounding(room) is None and room.daemon.seats["2"].away)
    phone.evaluate("plugIn('my chanter')")
    expect(phone.locator(SAID)).to_have_text("Sending what you play on my chanter.")
    phone.evaluate("play('my chanter', [0x90, 71, 64])")
    wait_until(lambda: sounding(room) == "B")
    phone.evaluate("pullOut('my chanter')")
    phone.locator("#send").click()
    phone.evaluate("plugIn('my chanter')")
    expect(phone.locator(SAID)).to_contain_text("Plug your chanter into this device")
    assert room.daemon.seats["2"].away


def test_a_link_that_is_dead_is_noticed_and_nothing_is_lost(room: Class, phone: Page) -> None:
    """Without a word from the network, as at the edge of Wi-Fi: what is played then comes afterwards, once."""
    dead = False
    routes = list[WebSocketRoute]()

    def carry(route: WebSocketRoute) -> None:
        server = route.connect_to_server()
        routes.append(route)
        route.on_message(lambda message: None if dead else server.send(message))
        server.on_message(lambda message: None if dead else route.send(message))

    phone.route_web_socket("**/join", carry)
    plugged(room, phone)
    with Viewing(room.here) as viewing:

        def notes() -> list[str]:
            return [one["note"] for one in viewing.of("note") if one["note"] and one["seat"] == "2"]

        phone.evaluate("play('my chanter', [0x90, 69, 64])")
        meanwhile(phone, lambda: notes() == ["low A"])
        links, dead = len(routes), True
        phone.evaluate("play('my chanter', [0x90, 71, 64])")
        phone.wait_for_timeout(100)
        phone.evaluate("play('my chanter', [0x90, 73, 64])")
        expect(phone.locator(SAID)).to_contain_text("The link is down.", timeout=15_000)
        dead = False
        expect(phone.locator(SAID)).to_have_text("Sending what you play on my chanter.", timeout=15_000)
        assert len(routes) > links
        meanwhile(phone, lambda: len(notes()) >= 3)
        assert notes() == ["low A", "B", "C"]


def test_a_page_that_nobody_looks_at_keeps_its_link(room: Class, phone: Page) -> None:
    """However slow a browser makes the timers of such a page: the class cuts off whoever is silent for five seconds."""
    phone.add_init_script(SLOW_TIMERS)
    plugged(room, phone)
    source = room.daemon.seats["2"].source
    phone.wait_for_timeout(6000)
    assert not room.daemon.seats["2"].away
    assert source.links == 1  # type: ignore[attr-defined] # it is a RemoteSource
    phone.evaluate("play('my chanter', [0x90, 69, 64])")
    wait_until(lambda: sounding(room) == "low A")
