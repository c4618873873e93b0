"""What a viewer watches: everything, one seat, or the wall."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

_CLASS_ONLY = frozenset({"band", "wall", "seats", "offer", "class"})
"""About all seats together."""
_OF_A_RUN = frozenset({"grid", "ladder", "note", "step", "rep", "feedback", "doubt", "session"})
_OF_A_RUN |= {"segment", "tune", "cursor", "tune ornament", "tune feedback", "tune round", "ornament", "free"}
"""What a player sees of their own; the desk gets the wall's summary instead."""
_FOR_EVERYBODY = frozenset({"clock", "error", "hello"})


@dataclass(frozen=True, slots=True)
class Topic:
    """A part of what the daemon says."""

    seat: str | None = None
    """One seat only; None: every seat."""
    wall: bool = False
    """The wall's own frames and nothing else."""
    desk: bool = False
    """The teacher's: the wall's frames and what goes on at the seats, without what is played there note by note."""

    def has(self, frame: Mapping[str, Any]) -> bool:
        """Whether a frame belongs to it."""
        kind = frame["kind"]
        if self.wall:
            return kind == "wall" or kind in _FOR_EVERYBODY
        if self.desk:
            return kind not in _OF_A_RUN
        if kind == "wall":
            return False
        if self.seat is None:
            return True
        return kind not in _CLASS_ONLY and frame.get("seat", self.seat) == self.seat


EVERYTHING = Topic()
