"""The real daemon with its own page in the browser, and what a person reads there.

The chanter is another process that sends MIDI through JACK's dummy driver; times are ``time.perf_counter_ns``, which
all processes share on Linux.
"""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

from playwright.sync_api import Browser, Page, expect

from chanterd.music.note import note_from_words
from chanterd.music.units import NS_PER_MS
from tests.jack_server import VirtualChanter
from tests.serving.running_daemon import ask

READ = """() => [...document.querySelectorAll('#marks text')]
  .map((text) => ({kind: [...text.classList], x: Number(text.getAttribute('x')), said: text.textContent}))
  .sort((one, other) => one.x - other.x)"""


@dataclass(frozen=True, slots=True)
class Figure:
    """What stands under one step in the strip."""

    ms: int
    """Without its sign, as it is shown."""
    side: str
    """The word below it: early, late or on."""

    @property
    def deviation_ms(self) -> int:
        """+ is late."""
        return -self.ms if self.side == "early" else self.ms


def read_strip(page: Page) -> list[Figure]:
    """The figures under the played steps, from left to right, as they stand in the page now."""
    marks: list[dict[str, Any]] = page.evaluate(READ)
    words = [(mark["x"], mark["said"]) for mark in marks if "word" in mark["kind"]]
    figures = []
    for mark in marks:
        if "number" in mark["kind"]:
            [side] = [said for x, said in words if x == mark["x"] and said in ("early", "late", "on")]
            figures.append(Figure(int(mark["said"]), side))
    return figures


@contextmanager
def looking(browser: Browser, address: str, *, console: list[str], **options: Any) -> Iterator[Page]:
    """The page, in a browser of its own; what it complains of is added to ``console``."""
    context = browser.new_context(viewport={"width": 1280, "height": 800}, **options)
    page = context.new_page()
    page.on("console", lambda message: console.append(message.text) if message.type in ("error", "warning") else None)
    page.on("pageerror", lambda error: console.append(str(error)))
    try:
        page.goto(address)
        expect(page.locator("#toggle")).to_be_enabled()
        yield page
    finally:
        context.close()


def state_of(address: str) -> Any:
    """What the daemon tells of its only player."""
    return ask(address, "GET", "api/state").json()["seats"][0]


def start(page: Page, address: str, click_bpm: float) -> Any:
    """Set the tempo and press the space bar, as a player does; the run as the daemon tells it."""
    tempo = page.locator("#tempo")
    tempo.fill(str(click_bpm))
    tempo.press("Enter")
    page.keyboard.press(" ")
    expect(page.locator("#toggle")).to_have_text("Stop")
    practice = state_of(address)["practice"]
    assert practice["grid"]["click_bpm"] == click_bpm
    return practice


def stop(page: Page) -> None:
    """Press the space bar again."""
    page.keyboard.press(" ")
    expect(page.locator("#toggle")).to_have_text("Start")


def expected_ns(practice: Any, rep: int) -> list[int]:
    """When each step of a rep is due on the daemon's clock: the lead, then the ornament's steps, the theme last."""
    grid, asked = practice["grid"], practice["asked"]
    first, second = practice["segments"]
    beat_ms = first["beat_ms"] + (rep - first["rep"]) * (second["beat_ms"] - first["beat_ms"])
    beat_ns = grid["beat0_ns"] + beat_ms * NS_PER_MS
    offsets = [asked["lead_offset_ms"], *(step["offset_ms"] for step in asked["steps"])]
    return [round(beat_ns + offset * NS_PER_MS) for offset in offsets]


class Piper:
    """Plays on a virtual chanter at written pitch, one note at a time, and knows when each note was really sent."""

    def __init__(self, chanter: VirtualChanter) -> None:
        self._chanter = chanter
        self._sounding: int | None = None

    def play(self, note: str, at_ns: int) -> int:
        """Send a note at that time, letting go of the one before; returns when it was sent."""
        midi = note_from_words(note).midi
        off: Sequence[tuple[int, Sequence[int]]] = ()
        if self._sounding is not None:
            off = [(at_ns, (0x80, self._sounding, 0))]
        sent_ns = self._chanter.play([*off, (at_ns, (0x90, midi, 64))])
        self._sounding = midi
        return sent_ns[-1]

    def play_rep(self, practice: Any, rep: int, off_ms: Sequence[float]) -> list[float]:
        """Play a rep, each note so late (+) or early (-); returns by how much each was really sent late, in ms."""
        asked = practice["asked"]
        notes = [asked["lead"], *(step["note"] for step in asked["steps"])]
        due_ns = expected_ns(practice, rep)
        return [
            (self.play(note, due + round(off * NS_PER_MS)) - due) / NS_PER_MS
            for note, due, off in zip(notes, due_ns, off_ms, strict=True)
        ]

    def rest(self) -> None:
        """Stop blowing, now."""
        if self._sounding is not None:
            self._chanter.play([(0, (0x80, self._sounding, 0))])
        self._sounding = None
