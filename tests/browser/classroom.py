"""A class of simulated players with its wall and desk in the browser, served by the real daemon."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from playwright.sync_api import Browser, Page, expect

from chanterd.hearing.habits import CLASS
from chanterd.hearing.simulated import DemoSource
from chanterd.serving.daemon import Daemon
from tests.serving.running_daemon import served

PATIENCE_MS = 30_000


@contextmanager
def class_of(folder: Path, seats: int) -> Iterator[tuple[str, Daemon]]:
    """The address and the daemon of a class that has not begun."""
    habits = [CLASS[place % len(CLASS)][1] for place in range(seats)]
    with served(folder, [DemoSource(place, one, f"simulated {place}") for place, one in enumerate(habits, 1)]) as made:
        yield made


@contextmanager
def opened(browser: Browser, address: str, width: int = 1280, height: int = 800, **options: object) -> Iterator[Page]:
    """A page that complains of nothing."""
    complaints: list[str] = []
    context = browser.new_context(viewport={"width": width, "height": height}, **options)  # type: ignore[arg-type]
    page = context.new_page()
    page.on("console", lambda said: complaints.append(said.text) if said.type in ("error", "warning") else None)
    page.on("pageerror", lambda error: complaints.append(str(error)))
    try:
        page.goto(address)
        expect(page.locator("main[inert]")).to_have_count(0, timeout=PATIENCE_MS)  # what is typed now counts
        yield page
    finally:
        context.close()
    assert complaints == []
