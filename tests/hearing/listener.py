"""Someone who listens to a source in a test: notes down what comes, and waits for it."""

import threading
from collections.abc import Callable

import mido

from chanterd.hearing.source import SourceStatus
from chanterd.music.units import Ns

PATIENCE_S = 10.0
"""How long to wait for what must come; only a failing test waits so long."""


class Listener:
    """Both callbacks of a source, and what they brought."""

    def __init__(self) -> None:
        self.messages: list[tuple[mido.Message, Ns]] = []
        self.statuses: list[SourceStatus] = []
        self._news = threading.Condition()

    def deliver(self, message: mido.Message, at_ns: Ns) -> None:
        """A message has come."""
        with self._news:
            self.messages.append((message, at_ns))
            self._news.notify_all()

    def report(self, status: SourceStatus) -> None:
        """The source's status has changed."""
        with self._news:
            self.statuses.append(status)
            self._news.notify_all()

    @property
    def states(self) -> list[str]:
        """The states reported so far."""
        return [status.state for status in self.statuses]

    def wait_for(self, condition: Callable[[], bool]) -> None:
        """Return as soon as it holds; fail if it never does."""
        with self._news:
            held = self._news.wait_for(condition, PATIENCE_S)
        assert held, f"waited in vain; heard {self.messages}, states {self.states}"
