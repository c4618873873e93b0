"""Layouts: how a rep is placed on the clicks. The table is ``configs/layouts.toml``; a teacher may add to it."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Annotated, Any, NotRequired

from annotated_types import Interval
from typing_extensions import TypedDict

from chanterd.config import find
from chanterd.table_file import load_rows
from chanterd.values import Sentence, Title, Whole, table


@dataclass(frozen=True, slots=True)
class Layout:
    """Where reps and their ornaments are; all figures are clicks."""

    name: str
    said: str
    clicks: int
    """From the start of a rep to the start of the next."""
    ornament: float
    """From the start of a rep to the ornament's own beat."""
    starts_at: float
    """From beat 0 to the start of rep 0."""
    scale: bool = False
    """Whether the ornament goes up and down the scale, rep by rep (see ``drill_score``), or stays between two notes."""

    @property
    def first_beat(self) -> float:
        """The ornament's own beat of the first rep."""
        return self.starts_at + self.ornament


@table
class LayoutTable(TypedDict):
    """A row of the table."""

    name: Title
    said: Sentence
    clicks: Annotated[int, Interval(ge=1, le=16), Whole()]
    ornament: Annotated[float, Interval(ge=0.5, le=15.5)]
    starts_at: NotRequired[Annotated[float, Interval(ge=0, le=16)]]
    scale: NotRequired[bool]


def read_layouts(folder: Path | None = None) -> dict[str, Layout]:
    """The layouts that ship, then those of the folder, by name. Raises ConfigError with every mistake."""
    rules = (_outside_mistake, _off_click_mistake)
    return load_rows("layouts", "layout", folder, LayoutTable, _layout, rules)


def _layout(row: LayoutTable) -> Layout:
    return Layout(
        row["name"], row["said"], row["clicks"], row["ornament"], row.get("starts_at", 0.0), row.get("scale", False)
    )


def _outside_mistake(row: LayoutTable, _: Mapping[str, Any]) -> str | None:
    fits = row["ornament"] < row["clicks"]
    return None if fits else f"'ornament' is {row['ornament']:g}; it must be less than 'clicks', {row['clicks']}."


def _off_click_mistake(row: LayoutTable, _: Mapping[str, Any]) -> str | None:
    if (row["ornament"] + row.get("starts_at", 0.0)).is_integer():
        return None
    return "'starts_at' and 'ornament' add up to no whole click; the ornament must be on one."


@cache
def standard_layout() -> Layout:
    """The layout that is used if none is named."""
    return find_layout(None, read_layouts())


def find_layout(name: str | None, layouts: dict[str, Layout]) -> Layout:
    """The layout of that name, or the first. Raises ChanterdError with a guess at the one you mean."""
    return find("layout", name, layouts)
