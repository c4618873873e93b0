"""How a classroom is arranged: the wall, the loudspeaker, where each seat is. Kept in one JSON file in ``--data``."""

import logging
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Annotated

from annotated_types import Interval

from chanterd.config import ChanterdError
from chanterd.files import KeptFile
from chanterd.music.units import Ms
from chanterd.serving.wire.klass import DESK
from chanterd.serving.wire.wall import Names

LOG = logging.getLogger(__name__)

FILE = "classroom.json"
UNWRITTEN = "so it holds until chanterd ends. Make room and allow writing there, or choose another folder with --data"

SOUND_M_PER_S = 343.0
"""The speed of sound in air at 20 degrees C (ISO 9613-1 reckons with 343.2 m/s; from memory)."""
FARTHEST_M = 50.0
"""No seat is farther from the loudspeaker."""

Metres = Annotated[float, Interval(ge=0, le=FARTHEST_M)]


@dataclass(frozen=True, slots=True)
class Arranged:
    """What is kept."""

    picture_m: Annotated[float, Interval(ge=0.3, le=20)] = 2.0
    """How wide the picture on the wall is."""
    last_row_m: Annotated[float, Interval(ge=0.5, le=50)] = 8.0
    """How far away the last row sits."""
    names: Names = "names"
    sound: str = DESK
    """Where the click sounds; see ``ClassShown``."""
    seats_m: dict[str, Metres] = field(default_factory=dict)
    """By seat: how far it is from the loudspeaker; a seat that is not there is 0 m from it."""
    unkept: list[int] = field(default_factory=list)
    """The numbers of the players who do not want their reps of a class in their history."""


def sound_delay_ms(distance_m: float) -> Ms:
    """How long sound takes that far: 2.9 ms a metre."""
    return Ms(distance_m / SOUND_M_PER_S * 1000)


class Arrangement:
    """The arrangement, read at the start; a change that cannot be written holds until the end, and the log says so."""

    def __init__(self, folder: Path) -> None:
        self._file: KeptFile[Arranged] = KeptFile(folder / FILE, Arranged, Arranged())
        self.now = self._file.content

    def change(self, **changed: object) -> None:
        """Change these fields."""
        now = replace(self.now, **changed)  # type: ignore[arg-type] # the callers' types are checked where they call
        if now == self.now:
            return
        self.now = now
        try:
            self._file.write(now, UNWRITTEN)
        except ChanterdError as error:
            LOG.warning("%s", error)

    def place(self, seat: str, distance_m: float) -> None:
        """Say how far a seat is from the loudspeaker."""
        self.change(seats_m={**self.now.seats_m, seat: distance_m})
