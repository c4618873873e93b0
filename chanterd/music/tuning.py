"""Tunings: what each of the nine notes sounds like, for the page that plays a drill. Frequencies in Hz."""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Annotated, Any, NotRequired

from annotated_types import Interval
from typing_extensions import Doc, TypedDict

from chanterd.config import ChanterdError, quoted
from chanterd.music.note import Note, NoteName, missing_notes
from chanterd.table_file import load_rows
from chanterd.values import Read, Sentence, Title, table

LONGEST_RATIO = 20
"""Characters."""


@dataclass(frozen=True, slots=True)
class Tuning:
    """One named tuning."""

    name: str
    said: str
    hz: tuple[float, ...]
    """The frequency of each note, low G first."""


def _ratio(text: str) -> float:
    """A ratio over low A, such as ``9/8``."""
    try:
        # Longer ones might be powers of ten that take minutes to work out.
        ratio = Fraction(text) if len(text) <= LONGEST_RATIO and "e" not in text.lower() else None
    except (ValueError, ZeroDivisionError):
        ratio = None
    if ratio is None or not Fraction(1, 2) <= ratio <= Fraction(5, 2):
        raise ChanterdError(f'{quoted(text)} must be a ratio over low A in quotes from 1/2 to 5/2, such as "9/8".')
    return float(ratio)


Ratio = Annotated[float, Read(_ratio), Doc('a ratio over low A in quotes from 1/2 to 5/2, such as "9/8"')]
Semitones = Annotated[float, Interval(ge=-12, le=24)]


@table
class TuningTable(TypedDict):
    """A row of the table."""

    name: Title
    said: Sentence
    low_a_hz: Annotated[float, Interval(ge=200, le=1000)]
    ratios: NotRequired[dict[NoteName, Ratio]]
    semitones: NotRequired[dict[NoteName, Semitones]]


def read_tunings(folder: Path | None = None) -> dict[str, Tuning]:
    """The tunings that ship, then those of the folder, by name. Raises ConfigError with every mistake."""
    return load_rows("tunings", "tuning", folder, TuningTable, _tuning, _RULES)


def _tuning(row: TuningTable) -> Tuning:
    over = row["ratios"] if "ratios" in row else {note: 2 ** (up / 12) for note, up in row["semitones"].items()}
    return Tuning(row["name"], row["said"], tuple(round(row["low_a_hz"] * over[note], 3) for note in Note))


def _kinds_mistake(_: TuningTable, written: Mapping[str, Any]) -> str | None:
    one = ("ratios" in written) != ("semitones" in written)
    return None if one else "needs one table of the nine notes, either 'ratios' or 'semitones'."


def _ratios_mistake(_: TuningTable, written: Mapping[str, Any]) -> str | None:
    return missing_notes("ratios", written.get("ratios"))


def _semitones_mistake(_: TuningTable, written: Mapping[str, Any]) -> str | None:
    return missing_notes("semitones", written.get("semitones"))


_RULES = (_kinds_mistake, _ratios_mistake, _semitones_mistake)
