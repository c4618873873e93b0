"""Layouts: how a rep lies on the clicks. The table is ``configs/layouts.toml``; a teacher may add to it."""

from dataclasses import dataclass
from functools import cache
from math import floor
from pathlib import Path
from typing import Any

from chanterd.config import ChanterdError, Complaints, did_you_mean, read_rows

FILE = "layouts.toml"


@dataclass(frozen=True, slots=True)
class Layout:
    """Where reps and their ornaments lie; all figures are clicks."""

    name: str
    said: str
    clicks: int
    """From the start of a rep to the start of the next."""
    ornament: float
    """From the start of a rep to the ornament's own beat."""
    starts_at: float
    """From beat 0 to the start of rep 0."""
    scale: bool = False
    """Whether the ornament goes up and down the scale, rep by rep (see ``course``), or stays between two notes."""

    def start(self, rep: int) -> float:
        """The beat on which a rep starts; reps count from 0."""
        return self.starts_at + self.clicks * rep

    def rep_at(self, beat: float) -> int:
        """The rep that is going on at a beat; negative before rep 0."""
        return floor((beat - self.starts_at) / self.clicks)

    def beat(self, rep: int) -> float:
        """The ornament's own beat of a rep."""
        return self.start(rep) + self.ornament


def read_layouts(folder: Path | None = None) -> dict[str, Layout]:
    """The bundled layouts by name, then those of ``folder / "layouts.toml"``, which add to them or replace them.

    Raises ConfigError with everything that is wrong with a file.
    """
    return read_rows(FILE, "layout", folder, _layout)


def _layout(complaints: Complaints, where: str, row: dict[str, Any]) -> Layout:
    complaints.unknown_keys(where, row, ("name", "said", "clicks", "ornament", "starts_at", "scale"))
    layout = Layout(
        name=complaints.take_text(where, row, "name"),
        said=complaints.take_text(where, row, "said"),
        clicks=round(complaints.take_number(where, row, "clicks", 1, 16)),
        ornament=complaints.take_number(where, row, "ornament", 0.5, 15.5),
        starts_at=complaints.take_number(where, row, "starts_at", 0, 16, default=0),
        scale=complaints.take_flag(where, row, "scale", default=False),
    )
    if layout.clicks != row.get("clicks", layout.clicks):
        complaints.add(where, f"'clicks' is {row['clicks']!r}; it must be a whole number.")
    if not layout.ornament < layout.clicks:
        complaints.add(where, f"'ornament' is {layout.ornament:g}; it must be less than 'clicks'.")
    if not (layout.starts_at + layout.ornament).is_integer():
        complaints.add(where, "'starts_at' and 'ornament' add up to no whole click; the ornament must be on one.")
    return layout


@cache
def standard_layout() -> Layout:
    """The layout that is used if none is named."""
    return next(iter(read_layouts().values()))


def find_layout(name: str | None, layouts: dict[str, Layout]) -> Layout:
    """The layout of that name; the first if none is named. Raises ChanterdError with a guess at the one meant."""
    if name is None:
        return next(iter(layouts.values()))
    if name in layouts:
        return layouts[name]
    known = ", ".join(layouts)
    raise ChanterdError(f"The layout '{name}' is not known.{did_you_mean(name, layouts)} Known are: {known}.")
