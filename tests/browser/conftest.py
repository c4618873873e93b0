"""Fixtures for looking at the page in the system's Chromium, served by the stand-in."""

import os
import re
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from functools import wraps
from typing import Any

import pytest
from playwright.sync_api import Browser, ConsoleMessage, Locator, Page, expect, sync_playwright

from tests.browser.stand_in import PATIENCE_S, StandIn

CHROMIUM = os.environ.get("CHROMIUM", "/usr/bin/chromium")
UNUSED = (
    "WebUIOmniboxPopup,WebUIOmniboxAimPopup,"
    "AimEnabled,AvoidCorsURLLoaderRestartOnRedirect,AvoidUnnecessaryBeforeUnloadCheckSync,DestroyProfileOnBrowserClose,"
    "HttpsFirstBalancedModeAutoEnable,HttpsUpgrades,LensOverlay,MediaRouter,NetworkTimeServiceQuerying,OptimizationHints,"
    "PaintHolding,PreconnectToSearch,ThirdPartyStoragePartitioning"
)
"""Features of the browser itself. The first two are what drops down from its address bar: two pages that each window
loads, unseen, for more than our own page costs. The others playwright turns off; only the last such list counts."""
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    f"--disable-features={UNUSED}",
    "--autoplay-policy=no-user-gesture-required",
]

expect.set_options(timeout=PATIENCE_S * 1000)


def once_shown(act: Callable[..., None]) -> Callable[..., None]:
    """Of a locator: first wait until it is shown. Playwright does so before a click, but not before a key or a focus.

    An element that is hidden takes no focus, and a key that is pressed then goes somewhere else.
    """

    @wraps(act)
    def acts(locator: Locator, *arguments: Any, **options: Any) -> None:
        locator.wait_for(state="visible", timeout=PATIENCE_S * 1000)
        act(locator, *arguments, **options)

    return acts


Locator.press = once_shown(Locator.press)  # type: ignore[method-assign]
Locator.focus = once_shown(Locator.focus)  # type: ignore[method-assign]

Inside = Callable[..., Any]
Open = Callable[..., Page]


# Not for the whole session: while playwright runs, no other test of this thread can run an event loop of its own.
@pytest.fixture(scope="package")
def browser() -> Iterator[Browser]:
    """The browser that all of these tests share."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        yield browser
        browser.close()


@pytest.fixture
def stand_in() -> Iterator[StandIn]:
    """A stand-in for the daemon, not started yet, so that a test can set the scene."""
    stand_in = StandIn()
    yield stand_in
    stand_in.stop()


class Complaints(list[str]):
    """Lines of the page's console.

    A test that clears them has had refusals on purpose. That the browser notes such an answer may come later than what
    the page makes of it, and is no complaint any more.
    """

    forgiving = False

    def clear(self) -> None:
        """Forget them; from now on answers of an error are none."""
        super().clear()
        self.forgiving = True

    def hear(self, line: str) -> None:
        """The page has complained."""
        if not (self.forgiving and line.startswith("Failed to load resource")):
            self.append(line)


@pytest.fixture
def complaints() -> Complaints:
    """What the page complained of on its console; must be empty when a test ends."""
    return Complaints()


@pytest.fixture
def open_page(browser: Browser, stand_in: StandIn, complaints: Complaints) -> Iterator[Open]:
    """Open the page: ``open_page(width, height, **context options)``; starts the stand-in if it is not started."""
    with ExitStack() as contexts:

        def told(message: ConsoleMessage) -> None:
            if message.type == "error":
                complaints.hear(message.text)

        def open_it(width: int = 1280, height: int = 800, path: str = "", **options: Any) -> Page:
            if not stand_in.running:
                stand_in.start()
            context = browser.new_context(viewport={"width": width, "height": height}, **options)
            contexts.callback(context.close)
            page = context.new_page()
            page.on("console", told)
            page.on("pageerror", lambda error: complaints.hear(str(error)))
            page.goto(stand_in.address + path)
            if not path:
                expect(page.locator("#chanter-name")).to_have_attribute("data-ready", "")
            return page

        yield open_it
    assert complaints == []


@pytest.fixture(scope="package")
def blank(browser: Browser) -> Iterator[Page]:
    """A page of our own origin with nothing on it, to import modules into."""
    stand_in = StandIn()
    stand_in.start()
    page = browser.new_page()
    page.goto(stand_in.address + "ui/words.js")
    yield page
    page.close()
    stand_in.stop()


@pytest.fixture
def inside(blank: Page) -> Inside:
    """Run a function in the browser on a module: ``inside("core/clock.js", "(m, a, b) => m.exchange(a, b)", 1, 2)``."""

    def run(module: str, body: str, *args: object) -> Any:
        assert re.fullmatch(r"(\w+/)*\w+\.js", module)
        return blank.evaluate(f"async (args) => ({body})(await import('/{module}'), ...args)", list(args))

    return run
