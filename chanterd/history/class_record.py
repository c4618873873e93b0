"""The entries of a class for the writer: a seat's run that belongs to it, reps of the band, its end."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from typing_extensions import TypedDict

from chanterd.history.wall_clock import WallTime
from chanterd.judging.ensemble import BandRep, OnsetSpread
from chanterd.music.units import Bpm
from chanterd.practice.exercise import Exercise


class StepKept(TypedDict):
    """One step of a band's rep, ms from the ornament's own beat."""

    step: int
    note: str
    seats: int
    middle_ms: float | None
    spread_ms: float | None


@dataclass(frozen=True, slots=True)
class ClassBegun:
    """A class: what was called, and when."""

    key: str
    """32 letters and digits that no other class has."""
    wall: WallTime
    exercise: Exercise
    rule: str | None
    """The ladder's rule as JSON; None: it stayed at one tempo."""


@dataclass(frozen=True, slots=True)
class ClassRunBegun:
    """A seat's run belongs to the class; its reps are the player's own."""

    begun: ClassBegun
    run_key: str
    seat: str


@dataclass(frozen=True, slots=True)
class ClassRepClosed:
    """A rep of the band; ``number`` counts from 0 over all tempi of the class."""

    begun: ClassBegun
    number: int
    click_bpm: Bpm
    band: BandRep
    wall: WallTime


@dataclass(frozen=True, slots=True)
class ClassEnded:
    """A class is over."""

    begun: ClassBegun
    wall: WallTime


ClassEntry = ClassRunBegun | ClassRepClosed | ClassEnded


def class_row(begun: ClassBegun) -> dict[str, Any]:
    """The class as a row."""
    exercise = begun.exercise
    return {
        "key": begun.key,
        "began_ns": begun.wall.ns,
        "utc_offset_s": begun.wall.utc_offset_s,
        "day": begun.wall.day,
        "until_ns": begun.wall.ns,
        "over": False,
        "drill": exercise.drill.words,
        "click_bpm": exercise.click_bpm,
        "standard": exercise.standard.name,
        "layout": exercise.layout.name,
        "rule": begun.rule,
    }


def band_row(class_id: int, closed: ClassRepClosed) -> dict[str, Any]:
    """A rep of the band as a row."""
    band = closed.band
    return {
        "class_id": class_id,
        "number": closed.number,
        "click_bpm": closed.click_bpm,
        "seats": band.seats,
        "spread_ms": _tenth(band.beat.spread_ms),
        "together_ms": _tenth(band.together_ms),
        "steps": _kept(band),
    }


def _kept(band: BandRep) -> Sequence[StepKept]:
    return [_step(one.step, one.note, one.spread) for one in band.steps]


def _step(step: int, note: str, spread: OnsetSpread) -> StepKept:
    return StepKept(
        step=step,
        note=note,
        seats=spread.seats,
        middle_ms=_tenth(spread.middle_ms),
        spread_ms=_tenth(spread.spread_ms),
    )


def _tenth(value: float | None) -> float | None:
    return None if value is None else round(value, 1)
