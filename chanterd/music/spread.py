"""How long the steps of an ornament are to be: ``configs/spread.toml``, and how far a player opens the hand."""

from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import Annotated

from annotated_types import Interval
from typing_extensions import TypedDict

from chanterd.config import ChanterdError, bundled
from chanterd.music.ornament import Kind
from chanterd.music.units import NS_PER_MS, Ms
from chanterd.table_file import read_one
from chanterd.values import table

NARROWEST, WIDEST = 0.01, 0.3
"""The share of a click that a held step may take."""


@dataclass(frozen=True, slots=True)
class Spread:
    """How long steps are to be: a share of the click each, and never shorter than a floor in ms."""

    held_of_click: float
    held_at_least_ms: Ms
    quick_of_click: float
    quick_at_least_ms: Ms

    def length_ns(self, kind: Kind, click_ns: float) -> float:
        """How long a step of that kind is to be."""
        if kind is Kind.QUICK:
            return max(self.quick_of_click * click_ns, self.quick_at_least_ms * NS_PER_MS)
        return max(self.held_of_click * click_ns, self.held_at_least_ms * NS_PER_MS)

    def opened(self, of_click: object) -> "Spread":
        """The same hand, wider or tighter: held steps are that share of the click, quick ones in proportion.

        Raises ChanterdError if it is not a number from ``NARROWEST`` to ``WIDEST``; NaN is refused too.
        """
        number = isinstance(of_click, int | float) and not isinstance(of_click, bool)
        if not (number and NARROWEST <= of_click <= WIDEST):  # type: ignore[operator]  # a number, or the first is False
            raise ChanterdError(
                f"The spread is {of_click!r}; it must be the share of a click that a held step takes, from "
                f"{NARROWEST:g} to {WIDEST:g}, such as {self.held_of_click:g} (did you mean a percentage?)."
            )
        share = float(of_click)  # type: ignore[arg-type]
        return replace(self, held_of_click=share, quick_of_click=share * self.quick_of_click / self.held_of_click)


@table
class SizeTable(TypedDict):
    """How long steps of one kind are to be."""

    of_click: Annotated[float, Interval(ge=0.005, le=0.3)]
    at_least_ms: Annotated[float, Interval(ge=5, le=300)]


@table
class SpreadTable(TypedDict):
    """The file."""

    held: SizeTable
    quick: SizeTable


def read_spread(path: Path) -> Spread:
    """Read a spread. Raises ConfigError with everything that is wrong with it."""
    found = read_one(path, SpreadTable)
    held, quick = found["held"], found["quick"]
    return Spread(held["of_click"], Ms(held["at_least_ms"]), quick["of_click"], Ms(quick["at_least_ms"]))


@cache
def standard_spread() -> Spread:
    """The spread that ships with the program."""
    return read_spread(bundled("configs") / "spread.toml")


def spread_asked(of_click: object) -> Spread:
    """The shipped spread, opened to that share of the click unless it is None; see :meth:`Spread.opened`."""
    return standard_spread() if of_click is None else standard_spread().opened(of_click)
