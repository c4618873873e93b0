"""How fast each kind of tune is played: ``configs/tempi.toml``, in beats a minute; a teacher may add to it."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Any

from annotated_types import Interval
from typing_extensions import TypedDict

from chanterd.music.grid import FASTEST_BPM, SLOWEST_BPM
from chanterd.table_file import load_rows
from chanterd.values import Sentence, Title, table

Tempo = Annotated[float, Interval(ge=SLOWEST_BPM, le=FASTEST_BPM)]


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


@table
class PaceTable(TypedDict):
    """A row of the table."""

    name: Title
    said: Sentence
    source: Sentence
    first: Tempo
    low: Tempo
    high: Tempo
    performing: Tempo


def read_paces(folder: Path | None = None) -> dict[str, Pace]:
    """The paces that ship, then those of the folder, by name. Raises ConfigError with every mistake."""
    return load_rows("tempi", "tempo", folder, PaceTable, lambda row: Pace(**row), [_performing_mistake])


def _performing_mistake(row: PaceTable, _: Mapping[str, Any]) -> str | None:
    first, low, high, performing = row["first"], row["low"], row["high"], row["performing"]
    if max(first, low) <= performing <= high:
        return None
    return (
        f"'performing' is {performing:g}; it must be from 'first' ({first:g}) and 'low' ({low:g}) up to 'high' "
        f"({high:g}). Is one of them a number of clicks, not of beats?"
    )
