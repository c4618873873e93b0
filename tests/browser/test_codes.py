"""The seats' QR codes, read as a phone reads them from screen and paper, by zxing-cpp, which knows nothing of ours."""

import io
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pypdfium2
import pytest
import zxingcpp
from PIL import Image
from playwright.sync_api import Browser, Page, expect

from chanterd.hearing.simulated import DemoSource
from chanterd.serving.access.address_watch import Network
from chanterd.serving.access.grants import Grant, Role
from tests.browser.classroom import opened
from tests.serving.routes.test_enter import LAN, Class
from tests.serving.running_daemon import served

SEATS = 5
MM_PER_INCH = 25.4
QR = zxingcpp.BarcodeFormats(zxingcpp.BarcodeFormat.QRCode)
COARSE_DPI = 100
"""Coarser than a phone sees a sheet in the hand: at 30 cm an image 3000 pixels wide has some 250 to the inch (by
arithmetic, with a view as wide as the distance)."""


@pytest.fixture
def room(tmp_path: Path) -> Iterator[Class]:
    """A class that is open to the network."""
    players = [DemoSource(seed) for seed in range(1, SEATS + 1)]
    with served(tmp_path, players, Network([LAN])) as (here, daemon):
        yield Class(daemon, here)


def addresses(room: Class) -> list[str]:
    """What leads to each seat."""
    return sorted(room.daemon.entrance.way_in(Grant(Role.SEAT, str(seat))) or "" for seat in range(1, SEATS + 1))


def read(image: Any) -> list[str]:
    """What every QR code in the picture says."""
    return sorted(one.text for one in zxingcpp.read_barcodes(image, formats=QR))


def drawn(page: Page) -> None:
    """Wait until every code is drawn."""
    expect(page.locator("#seats li")).to_have_count(SEATS)
    page.evaluate("Promise.all([...document.images].map((image) => image.decode()))")


def photographed(page: Page) -> Image.Image:
    """The whole page as it is shown."""
    return Image.open(io.BytesIO(page.screenshot(full_page=True))).convert("L")


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize(("width", "height"), [(1280, 800), (1920, 1080), (390, 844)])
def test_the_codes_on_the_screen_lead_to_their_seats(
    browser: Browser, room: Class, width: int, height: int, theme: str
) -> None:
    """At the size shown, on either ground; blurred by half, as from further away, they still do."""
    with opened(browser, f"{room.here}seats/", width, height, color_scheme=theme) as page:
        drawn(page)
        picture = photographed(page)
    assert read(picture) == addresses(room)
    assert read(picture.resize((picture.width // 2, picture.height // 2))) == addresses(room)


def test_a_new_code_is_drawn_at_once(browser: Browser, room: Class) -> None:
    """The old picture leads nowhere any longer."""
    with opened(browser, f"{room.here}seats/") as page:
        drawn(page)
        before = read(photographed(page))
        old = page.locator("#seats code").nth(1).inner_text()
        page.get_by_role("button", name="New code").nth(1).click()
        expect(page.locator("#seats code").nth(1)).not_to_have_text(old)
        drawn(page)
        after = read(photographed(page))
    assert after == addresses(room)
    assert len(set(after) - set(before)) == 1


def test_a_code_that_cannot_be_made_new_says_why_and_the_desk_is_a_press_away(browser: Browser, room: Class) -> None:
    """The reason stays until the page looks at the seats again by itself."""
    why = {"said": "Seat 2 is no longer there."}
    context = browser.new_context()
    page = context.new_page()
    page.route("**/api/ways/2", lambda route: route.fulfill(status=404, json=why))
    page.goto(f"{room.here}seats/")
    drawn(page)
    page.clock.install()
    page.get_by_role("button", name="New code").nth(1).click()
    expect(page.locator("#said")).to_have_text(why["said"])
    page.get_by_role("link", name="Class desk").click()
    expect(page).to_have_title("Class desk · chanterd")
    context.close()


def test_without_a_network_there_is_nothing_to_print(browser: Browser, tmp_path: Path) -> None:
    """The page says how to open the class to it."""
    with served(tmp_path, [DemoSource(1)]) as (here, _), opened(browser, f"{here}seats/") as page:
        expect(page.locator("#said")).to_contain_text("Start chanterd with --lan")
        expect(page.locator("#print")).to_be_hidden()


def test_the_printed_codes_lead_to_their_seats(browser: Browser, room: Class) -> None:
    """On A4 paper, printed coarsely, also where the page itself is dark; none is cut in two by the edge of a sheet."""
    with opened(browser, f"{room.here}seats/", color_scheme="dark") as page:
        drawn(page)
        paper = page.pdf(format="A4", print_background=False)
    found = []
    document = pypdfium2.PdfDocument(paper)
    for sheet in document:
        picture = sheet.render(scale=COARSE_DPI / 72, grayscale=True).to_pil()
        for one in zxingcpp.read_barcodes(picture, formats=QR):
            found.append(one.text)
            width_mm = (one.position.top_right.x - one.position.top_left.x) / COARSE_DPI * MM_PER_INCH
            assert (
                width_mm >= 30
            )  # read from ten times its width (common practice, no source): 30 cm, a hand's distance
    document.close()
    assert sorted(found) == addresses(room)
