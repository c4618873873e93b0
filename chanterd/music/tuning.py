"""Tunings: what each of the nine notes sounds like, for the page that plays a drill. Frequencies in Hz."""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any

from chanterd.config import Complaints, read_rows
from chanterd.music.note import WORDS

FILE = "tunings.toml"


@dataclass(frozen=True, slots=True)
class Tuning:
    """One named tuning."""

    name: str
    said: str
    hz: tuple[float, ...]
    """The frequency of each note, low G first."""


def _ratio(complaints: Complaints, where: str, text: object) -> float:
    """A ratio over low A, such as ``9/8``."""
    try:
        ratio = Fraction(text) if isinstance(text, str) else None
    except (ValueError, ZeroDivisionError):
        ratio = None
    if ratio is None or not Fraction(1, 2) <= ratio <= Fraction(5, 2):
        complaints.add(where, f'{text!r} must be a ratio over low A in quotes from 1/2 to 5/2, such as "9/8".')
        return 1.0
    return float(ratio)


def _over_low_a(complaints: Complaints, where: str, row: Mapping[str, Any]) -> list[float]:
    """Each note's frequency over low A's, given as ratios or as semitones."""
    tables = [key for key in ("ratios", "semitones") if isinstance(row.get(key), dict)]
    if len(tables) != 1:
        complaints.add(where, "needs one table of the nine notes, either 'ratios' or 'semitones'.")
        return [1.0] * len(WORDS)
    (kind,) = tables
    table, where = row[kind], f"{where}.{kind}"
    complaints.unknown_keys(where, table, WORDS)
    if kind == "ratios":
        return [_ratio(complaints, f"{where}.{name}", table.get(name)) for name in WORDS]
    return [2 ** (complaints.take_number(where, table, name, -12, 24) / 12) for name in WORDS]


def _read_tuning(complaints: Complaints, where: str, row: Mapping[str, Any]) -> Tuning:
    name = complaints.take_text(where, row, "name")
    where = f"{where} ({name})"
    complaints.unknown_keys(where, row, ("name", "said", "low_a_hz", "ratios", "semitones"))
    low_a = complaints.take_number(where, row, "low_a_hz", 200, 1000)
    over = _over_low_a(complaints, where, row)
    return Tuning(name, complaints.take_text(where, row, "said"), tuple(round(low_a * ratio, 3) for ratio in over))


def read_tunings(folder: Path | None = None) -> dict[str, Tuning]:
    """The bundled tunings by name, then those of ``folder / "tunings.toml"``, which add to them or replace them.

    Raises ConfigError with everything that is wrong with a file.
    """
    return read_rows(FILE, "tuning", folder, _read_tuning)
