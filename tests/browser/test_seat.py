"""A learner's way in, on a phone: the code, the own strip and verdicts, and a chanter plugged in there."""

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from chanterd.hearing.inputs import open_input
from chanterd.serving.access.address_watch import Network
from chanterd.serving.access.grants import Grant, Role
from tests.serving.routes.test_enter import LAN, Class
from tests.serving.running_daemon import Viewing, ask, served

PHONE: Any = {"width": 390, "height": 844}
SEAT = Grant(Role.SEAT, "2")
WEB_MIDI = """
const inputs = new Map();
window.plugIn = (name) => inputs.set(name, { id: name, name, onmidimessage: null });
window.play = (name, data, ago = 0) => inputs.get(name).onmidimessage({ timeStamp: performance.now() - ago, data });
navigator.requestMIDIAccess = async () => ({ inputs, onstatechange: null });
"""
"""Web MIDI (W3C) as far as the page uses it, since a browser in a test has no chanter: simulated."""


@pytest.fixture
def room(tmp_path: Path) -> Iterator[Class]:
    """A simulated player, and a free place for Bram."""
    sources = [open_input("demo"), open_input("join")]
    with served(tmp_path, sources, Network([LAN]), ["Ailsa", "Bram"]) as (here, daemon):
        yield Class(daemon, here)


@pytest.fixture
def phone(browser: Browser) -> Iterator[Page]:
    """A browser of its own; what it complains of fails the test."""
    context = browser.new_context(viewport=PHONE)
    page, complaints = context.new_page(), list[str]()
    page.on("pageerror", lambda error: complaints.append(str(error)))
    yield page
    context.close()
    assert complaints == []


def test_a_typed_code_leads_to_its_seat_and_a_wrong_one_says_so(room: Class, phone: Page) -> None:
    """Whoever has no code sees the page to enter one, whatever address they know."""
    phone.goto(room.there)
    phone.get_by_label("Your code").fill("7K2M")
    phone.get_by_role("button", name="Enter").click()
    expect(phone.get_by_role("alert")).to_contain_text("This code opens nothing.")
    phone.get_by_label("Your code").fill(room.daemon.entrance.grants.code_of(SEAT).lower().replace("-", " "))
    phone.keyboard.press("Enter")
    expect(phone.get_by_role("heading", level=1)).to_have_text("Bram, seat 2")
    assert phone.url == f"{room.there}seat/2"


def test_a_scanned_code_shows_the_own_strip_and_verdicts_only(room: Class, phone: Page) -> None:
    """Nothing of the others, no code left in the history, and nothing to scroll sideways."""
    ailsa = Grant(Role.SEAT, "1")
    phone.goto(room.daemon.entrance.way_in(ailsa) or "")
    expect(phone.get_by_role("heading", level=1)).to_have_text("Ailsa, seat 1")
    ask(room.here, "POST", "api/class", {"drill": "grip from B to C", "click_bpm": 200}).raise_for_status()
    expect(phone.locator("#drill")).to_have_text("Grip from B to C")
    expect(phone.locator("#row")).to_contain_text("clean in a row", timeout=20_000)
    expect(phone.locator("#marks .number").nth(1)).to_be_attached()
    expect(phone.locator("#verdict")).to_have_text(re.compile("....+"), timeout=20_000)
    assert "Bram" not in phone.inner_text("body")
    assert phone.evaluate("document.documentElement.scrollWidth <= innerWidth")
    assert "code=" not in phone.evaluate("location.href + document.referrer")


def test_a_chanter_plugged_into_the_phone_plays_at_its_seat(room: Class, phone: Page) -> None:
    """With the browser's own time stamps, on the class's clock."""
    phone.add_init_script(WEB_MIDI)
    phone.goto(room.daemon.entrance.way_in(SEAT) or "")
    button = phone.get_by_role("button", name="Use a chanter plugged in here")
    button.click()
    expect(phone.locator("#sending-said")).to_contain_text("No chanter is plugged in here.")
    phone.evaluate("plugIn('my chanter')")
    button.click()
    expect(phone.locator("#sending-said")).to_have_text("Sending what you play on my chanter.")
    with Viewing(room.here) as viewing:
        viewing.wait_for_kind("hello")
        before_ns = room.daemon.clock()
        phone.evaluate("play('my chanter', [0x90, 69, 64], 50)")
        note = viewing.wait_for_kind("note", seat="2")
        late_ms = (note["at_ns"] - before_ns) / 1e6
        assert note["note"] == "low A"
        assert -60 < late_ms < 2000  # 50 ms before the call, which takes its time on a busy machine
        assert not [one for one in viewing.of("note") if one["seat"] == "1"]
    phone.get_by_role("button", name="Stop sending").click()
    expect(phone.locator("#sending-said")).to_contain_text("Plug your chanter into this device")


def test_the_click_sounds_at_the_seat_where_the_teacher_lets_it(room: Class, phone: Page) -> None:
    """Only then is it offered, since a browser asks for a press; elsewhere the seat's page is silent."""
    ask(room.here, "POST", "api/class", json={"drill": "grip from B to C", "click_bpm": 60}).raise_for_status()
    phone.goto(room.daemon.entrance.way_in(SEAT) or "")
    expect(phone.locator("#drill")).to_have_text("Grip from B to C")
    expect(phone.locator("#click")).to_be_hidden()
    ask(room.here, "POST", "api/class/sound", json={"sound": "2"}).raise_for_status()
    phone.get_by_role("button", name="Let the click sound here").click()
    expect(phone.locator("#click")).to_be_hidden()
    ask(room.here, "DELETE", "api/class").raise_for_status()


@pytest.mark.parametrize(
    ("secure", "said"),
    [("true", "This browser has no Web MIDI."), ("false", "A browser gives MIDI to secure pages only")],
)
def test_where_there_is_no_web_midi_the_page_says_why_and_what_to_do(
    room: Class, phone: Page, secure: str, said: str
) -> None:
    """A page that is not secure, or another browser; a laptop may join by the program."""
    phone.add_init_script(
        "delete Navigator.prototype.requestMIDIAccess;"
        f"Object.defineProperty(window, 'isSecureContext', {{ value: {secure} }});"
    )
    phone.goto(room.daemon.entrance.way_in(SEAT) or "")
    expect(phone.locator("#sending-said")).to_contain_text(said)
    expect(phone.locator("#sending-said")).to_contain_text("chanterd join")
    expect(phone.locator("#send")).to_be_hidden()


def test_the_teacher_shows_a_card_for_each_seat(room: Class, phone: Page) -> None:
    """With the QR code, and the code to type; a new one replaces it."""
    phone.goto(f"{room.here}seats/")
    cards = phone.locator("#seats li")
    expect(cards).to_have_count(2)
    code = cards.nth(1).locator("code")
    before = code.inner_text()
    phone.evaluate("Promise.all([...document.images].map((image) => image.decode()))")  # fails if one is none
    cards.nth(1).get_by_role("button", name="New code").click()
    expect(code).not_to_have_text(before)
    assert room.daemon.entrance.grants.enter(before) is None


def test_a_learner_says_whether_their_reps_are_kept(room: Class, phone: Page) -> None:
    """On their own page, as the teacher may at the desk; another learner's wish is theirs."""
    phone.goto(room.daemon.entrance.way_in(SEAT) or "")
    keep = phone.get_by_label("Keep what I play in class in my history")
    expect(keep).to_be_checked()
    keep.uncheck()
    expect(phone.locator("#keep-said")).to_have_text("From your next class on.")
    assert room.daemon.classroom.shown()["unkept"] == ["2"]
    room.daemon.classroom.keep("2", keep=True)
    phone.reload()
    expect(keep).to_be_checked()
