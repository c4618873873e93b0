"""The player's own hand across families of ornaments: whether steps of one kind are as long in one as in another.

The short C inside a doubling should last about as long as the low Gs of a taorluath in the same tune (common practice,
no source). What is compared are medians in ms, of runs at about the same tempo. Pure; many runs in, one table out.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import sqrt
from statistics import median
from typing import Literal

from pydantic import with_config
from typing_extensions import TypedDict

from chanterd.judging.limit import HEARD
from chanterd.judging.report import STRICT, RepResult
from chanterd.judging.robust import spread, standard_error

SAME_TEMPO = 0.15
"""Runs at tempi that differ by no more than this share are compared."""
APART_MS = 2 * HEARD.within_ms
"""Families this near sound alike: a note out of place by what can be heard makes two lengths differ by twice that."""

KindName = Literal["held", "quick"]


@dataclass(frozen=True, slots=True)
class RunPlayed:
    """One run, as it is compared."""

    family: str
    """The ornament's name."""
    click_bpm: float
    reps: Sequence[RepResult]


@with_config(STRICT)
class HandRow(TypedDict):
    """The player's own step size in one family."""

    family: str
    kind: KindName
    count: int
    """How many steps were measured."""
    median_ms: float
    spread_ms: float
    error_ms: float | None
    """Twice the standard error of the median; None while there are too few."""


@with_config(STRICT)
class HandTable(TypedDict):
    """All families, and whether the hand is the same in them."""

    rows: list[HandRow]
    held_same: bool | None
    """None: fewer than two families are known well enough."""
    quick_same: bool | None
    steady: list[str]
    """What is to be said of kinds that are alike everywhere."""
    unsteady: list[str]
    """And of those that are not."""


def hand(runs: Sequence[RunPlayed]) -> HandTable:
    """The table of the runs at about the tempo of the last one."""
    near = [run for run in runs if abs(run.click_bpm / runs[-1].click_bpm - 1) <= SAME_TEMPO]
    rows = [*_rows(near, "held"), *_rows(near, "quick")]
    held, quick = _sure(rows, "held"), _sure(rows, "quick")
    named = ((held, "held notes"), (quick, "gracenotes and taps"))
    return HandTable(
        rows=rows,
        held_same=_same(held),
        quick_same=_same(quick),
        steady=[said for rows, name in named if _same(rows) for said in _said(rows, name)],
        unsteady=[said for rows, name in named if _same(rows) is False for said in _said(rows, name)],
    )


def _rows(runs: Iterable[RunPlayed], kind: KindName) -> list[HandRow]:
    lengths: dict[str, list[float]] = {}
    for run in runs:
        for rep in run.reps:
            lengths.setdefault(run.family, []).extend(rep["shape"][kind]["lengths_ms"])
    rows = []
    for family, known in lengths.items():
        if known:
            error = standard_error(known)
            rows.append(
                HandRow(
                    family=family,
                    kind=kind,
                    count=len(known),
                    median_ms=round(median(known), 3),
                    spread_ms=round(spread(known), 3),
                    error_ms=None if error is None else round(2 * error, 3),
                )
            )
    return rows


def _sure(rows: Iterable[HandRow], kind: KindName) -> list[HandRow]:
    """The rows of a kind whose medians are sure to what can be heard, the shortest first."""
    known = [row for row in rows if row["kind"] == kind and row["error_ms"] is not None and row["error_ms"] < APART_MS]
    return sorted(known, key=lambda row: row["median_ms"])


def _apart(rows: Sequence[HandRow]) -> bool:
    """Whether shortest and longest differ by more than can be heard, and by more than chance would have it."""
    shortest, longest = rows[0], rows[-1]
    chance = sqrt((shortest["error_ms"] or 0.0) ** 2 + (longest["error_ms"] or 0.0) ** 2)
    return longest["median_ms"] - shortest["median_ms"] > max(APART_MS, chance)


def _same(rows: Sequence[HandRow]) -> bool | None:
    return None if len(rows) < 2 else not _apart(rows)  # noqa: PLR2004 - one family is like itself


def _said(rows: Sequence[HandRow], name: str) -> list[str]:
    """One sentence about two families or more."""
    shortest, longest = rows[0], rows[-1]
    if not _apart(rows):
        return [f"Your {name} are about as long in every ornament, {shortest['median_ms']:.0f} ms or so."]
    long = f"Your {name} last {longest['median_ms']:.0f} ms in the {longest['family']}"
    return [f"{long} and only {shortest['median_ms']:.0f} ms in the {shortest['family']}: make them alike."]
