"""How fast each kind of tune is played: ``configs/tempi.toml``, in beats a minute; a teacher may add to it."""

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from chanterd.config import Complaints, read_rows
from chanterd.music.grid import FASTEST_BPM, SLOWEST_BPM

FILE = "tempi.toml"
_NUMBERS = ("first", "low", "high", "performing")


@dataclass(frozen=True, slots=True)
class Pace:
    """One kind of tune. All tempi are beats a minute, not clicks: a metronome may click twice to the beat."""

    name: str
    said: str
    source: str
    first: float
    """Where a tempo ladder begins."""
    low: float
    high: float
    """Between which it is played."""
    performing: float


def read_paces(folder: Path | None = None) -> dict[str, Pace]:
    """The paces that ship, then those of the folder, by name; a later one replaces an earlier one.

    Raises ConfigError with every mistake.
    """
    return read_rows(FILE, "tempo", folder, _pace)


def _pace(complaints: Complaints, where: str, row: dict[str, Any]) -> Pace:
    before = len(complaints.lines)
    complaints.unknown_keys(where, row, ("name", "said", "source", *_NUMBERS))
    name, said, source = (complaints.take_text(where, row, key) for key in ("name", "said", "source"))
    numbers = [complaints.take_number(where, row, key, SLOWEST_BPM, FASTEST_BPM) for key in _NUMBERS]
    pace = Pace(name, said, source, *numbers)
    if len(complaints.lines) == before and not max(pace.first, pace.low) <= pace.performing <= pace.high:
        complaints.add(
            where,
            f"'performing' is {pace.performing:g}; it must lie from 'first' ({pace.first:g}) and 'low' ({pace.low:g}) "
            f"up to 'high' ({pace.high:g}). Is one of them a number of clicks, not of beats?",
        )
    return pace
