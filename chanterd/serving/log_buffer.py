"""The last lines of the log, for the status page; the terminal or the system's journal has them all."""

import logging
from collections import deque

LINES = 200
"""Enough for an evening: a line for each run, each page and each change of a chanter."""


class Logbook(logging.Handler):
    """A log handler that drops its oldest line when it is full."""

    def __init__(self, most: int = LINES) -> None:
        super().__init__(logging.INFO)
        self.setFormatter(logging.Formatter("%(asctime)s %(levelname)s %(message)s", "%Y-%m-%d %H:%M:%S"))
        self._lines: deque[str] = deque(maxlen=most)

    @property
    def lines(self) -> list[str]:
        """The oldest first; a traceback of many lines is one entry."""
        return list(self._lines)

    def emit(self, record: logging.LogRecord) -> None:
        """Keep the record as text, since a record would keep the objects it mentions in memory."""
        self._lines.append(self.format(record))
