"""What a page shows of playing for which nothing was chosen: the last ornament, a count of each, a drill to offer."""

from typing import Literal

from pydantic import with_config
from typing_extensions import TypedDict

from chanterd.judging.report import STRICT
from chanterd.listening.report import HeardOrnament


@with_config(STRICT)
class OfferShown(TypedDict):
    """A drill that the player keeps repeating, at their own tempo."""

    drill: str
    click_bpm: float
    said: str


@with_config(STRICT)
class FaultCount(TypedDict):
    """How often a fault was heard."""

    fault: str
    times: int


@with_config(STRICT)
class FreeRow(TypedDict):
    """How an ornament went today; lengths are medians in ms, None where it has no such step."""

    ornament: str
    played: int
    clean: int
    held_ms: float | None
    quick_ms: float | None
    faults: list[FaultCount]
    """The commonest first."""


@with_config(STRICT)
class FreeShown(TypedDict):
    """What was played today while nothing was chosen."""

    rows: list[FreeRow]
    """By ornament, the one that was played most first."""
    work_on: str
    """The one to work on next, in a sentence; empty if there is none."""
    drill: str | None
    """A drill of it, as it was played last; None if there is none."""
    offer: OfferShown | None


@with_config(STRICT)
class OrnamentFrame(HeardOrnament):
    """An ornament was heard while no run went on.

    It is sent within 300 ms of its melody note, and again when it is final: until then what follows may change it.
    Times count on the daemon's clock, the calibration taken off.
    """

    kind: Literal["ornament"]
    seat: str
    final: bool


@with_config(STRICT)
class FreeFrame(TypedDict):
    """What was played while nothing was chosen, after each final ornament, and when a drill is offered or no longer."""

    kind: Literal["free"]
    seat: str
    free: FreeShown
