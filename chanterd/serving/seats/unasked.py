"""What it takes to listen to somebody for whom nothing was chosen; all seats share it."""

from collections.abc import Callable
from dataclasses import dataclass
from threading import Thread

from chanterd.judging.standard import Standard
from chanterd.listening.match import matcher_of
from chanterd.listening.prices import STANDARD_PRICES
from chanterd.music.ornament import Book
from chanterd.serving.seats.tunes_at_hand import TunesAtHand


def on_a_thread(work: Callable[[], None]) -> None:
    """Have it done on a thread of its own, so that no note waits for it."""
    Thread(target=work, daemon=True).start()


@dataclass(slots=True)
class Unasked:
    """What it takes to listen to somebody for whom no drill was chosen."""

    book: Book
    standard: Standard
    day: Callable[[], str]
    """Which day it is, as 2026-03-31."""
    tunes: TunesAtHand
    """The tunes that they may play."""
    beside: Callable[[Callable[[], None]], None] = on_a_thread
    """Has something done beside the event loop."""
    ready: bool = False
    begun: bool = False
    """Whether it is being worked out."""

    def want(self) -> None:
        """Somebody plays with nothing chosen: have the book worked out beside the event loop, once for all seats.

        Not before: a daemon that only runs drills would carry ten megabytes that nobody needs.
        """
        if not self.begun and not self.ready:
            self.begun = True
            self.beside(self.prepare)

    def prepare(self) -> None:
        """Work the book out by sound, which takes half a second: not in the event loop."""
        matcher_of(self.book, STANDARD_PRICES)
        self.ready = True
