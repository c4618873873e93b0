"""The last lines of the log, kept for the status page; the terminal or the system's journal has them all."""

import logging
from collections import deque

LINES = 200
"""Enough for an evening: a line for each run, each page and each change of a chanter."""


class Logbook(logging.Handler):
    """A log handler that forgets the oldest line when a new one comes."""

    def __init__(self, most: int = LINES) -> None:
        super().__init__(logging.INFO)
        self.setFormatter(logging.Formatter("%(asctime)s %(levelname)s %(message)s", "%Y-%m-%d %H:%M:%S"))
        self._lines: deque[str] = deque(maxlen=most)

    @property
    def lines(self) -> list[str]:
        """The oldest first; what a fault of ours left behind in many lines is one entry."""
        return list(self._lines)

    def emit(self, record: logging.LogRecord) -> None:
        """Keep it as text, since a record holds on to what it is about."""
        self._lines.append(self.format(record))
