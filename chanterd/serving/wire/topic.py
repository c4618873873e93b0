"""What a viewer watches: everything, one seat, or the wall."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

_CLASS_ONLY = frozenset({"band", "wall", "seats", "offer"})
"""About all seats together."""
_FOR_EVERYBODY = frozenset({"clock", "error", "hello"})


@dataclass(frozen=True, slots=True)
class Topic:
    """A part of what the daemon says."""

    seat: str | None = None
    """One seat only; None: every seat."""
    wall: bool = False
    """The wall's own frames and nothing else."""

    def has(self, frame: Mapping[str, Any]) -> bool:
        """Whether a frame belongs to it."""
        kind = frame["kind"]
        if self.wall:
            return kind == "wall" or kind in _FOR_EVERYBODY
        if kind == "wall":
            return False
        if self.seat is None:
            return True
        return kind not in _CLASS_ONLY and frame.get("seat", self.seat) == self.seat


EVERYTHING = Topic()
