"""The class as the teacher's desk sees it."""

from typing import Literal

from pydantic import with_config
from typing_extensions import TypedDict

from chanterd.judging.report import STRICT
from chanterd.serving.wire.shapes import ClickShown

DESK, WALL, NOWHERE = "desk", "wall", "nowhere"
"""Where the click may sound, beside the page of a seat, which its id names."""


@with_config(STRICT)
class ClassLadderShown(TypedDict):
    """The ladder of a class; tempi are clicks a minute."""

    raise_bpm: float
    top_bpm: float
    in_a_row: int
    share: float
    said: str
    """How far the class is."""


@with_config(STRICT)
class ClassShown(TypedDict):
    """The class under way, or the last one."""

    state: Literal["waiting", "playing", "over"]
    drill: str | None
    """Its words in the request; None before the first class."""
    click_bpm: float | None
    layout: str | None
    standard: str | None
    click: ClickShown | None
    """None while nobody plays."""
    measuring: list[str]
    """The seats whose delay is being measured."""
    playing: list[str]
    """The seats that play, and whose chanter is there."""
    alone: str | None
    """The seat that plays alone."""
    spotlight: str | None
    """The seat that has the whole wall."""
    frozen: bool
    sound: str
    """Where the click sounds: ``desk``, ``wall``, ``nowhere``, or the id of a seat, whose page has it."""
    ladder: ClassLadderShown | None
    unkept: list[str]
    """The seats whose players do not want their reps of a class in their history."""


@with_config(STRICT)
class ClassFrame(TypedDict):
    """The class has changed. Sent to no page of one seat, and not to the wall."""

    kind: Literal["class"]
    now: ClassShown


@with_config(STRICT)
class SoundFrame(TypedDict):
    """Whether the page of a seat sounds the click: in a class it sounds at one place only."""

    kind: Literal["sound"]
    seat: str
    sounds: bool
