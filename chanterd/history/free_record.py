"""The entries of free playing for the writer: what was played with nothing chosen, a part at a time. Cheap to make."""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from chanterd import __version__
from chanterd.hearing.chanter import Profile
from chanterd.history.record import profile_json
from chanterd.history.wall_clock import WallTime
from chanterd.listening.judged import ShapeJudged
from chanterd.listening.report import HeardOrnament
from chanterd.listening.tally import SummaryRow, Tally
from chanterd.music.units import NS_PER_MS, Bpm, Ns

WRITTEN_BPM = Bpm(60.0)
"""The tempo in the files of takes, where nobody played to one: a click is a second."""


@dataclass(frozen=True, slots=True)
class FreeBegun:
    """Whose playing it is, and how the chanter is heard."""

    key: str
    """32 letters and digits that no other run has."""
    player: int
    """The player's number in the history."""
    name: str
    """The player's name, for what they play if they are deleted meanwhile."""
    wall: WallTime
    standard: str
    input: str
    profile: Profile
    calibration_ns: Ns | None
    judged_ns: int | None = None
    """When it was judged, if that was after it was played."""


@dataclass(frozen=True, slots=True)
class FreeWay:
    """How one ornament went from one note to another."""

    drill: str
    """In words; empty where the note before is not known, or the book has no drill from it."""
    family: str
    in_tune: bool
    """Whether it was part of a tune that was followed, and is counted there too."""
    row: SummaryRow


@dataclass(frozen=True, slots=True)
class FreePartPlayed:
    """What was played since the last part."""

    begun: FreeBegun
    part: int
    """Its number, from 0."""
    wall: WallTime
    midi: bytes
    """Events of a MIDI track; for an import, the whole file."""
    ornaments: tuple[HeardOrnament, ...]
    """Their times count from the beginning of the take."""
    ways: tuple[FreeWay, ...]
    """How each went so far, in all parts."""
    why: str | None = None
    """Why it ended, in one or two words; None: it goes on."""
    whole: bool = False


class WaysPlayed:
    """Counts ornaments by their ways in, in memory that does not grow with how many there are."""

    def __init__(self) -> None:
        self._tallies: dict[tuple[str, str, bool], Tally] = {}

    def add(self, judged: ShapeJudged, *, in_tune: bool) -> None:
        """Count one."""
        way = judged.way
        key = (way.words or "", way.ornament.chapter, in_tune)
        self._tallies.setdefault(key, Tally()).add(judged)

    def rows(self) -> tuple[FreeWay, ...]:
        """By their words."""
        return tuple(
            FreeWay(drill, family, in_tune, row)
            for (drill, family, in_tune), tally in sorted(self._tallies.items(), key=lambda one: one[0])
            for row in tally.rows()
        )


def since(ornament: HeardOrnament, begins_ms: float) -> HeardOrnament:
    """The same with its times counted from then."""
    steps = [
        {**step, "onset_ms": None if step["onset_ms"] is None else round(step["onset_ms"] - begins_ms, 3)}
        for step in ornament["steps"]
    ]
    times = {name: round(ornament[name] - begins_ms, 3) for name in ("start_ms", "theme_ms")}
    return {**ornament, **times, "steps": steps}  # type: ignore[typeddict-item] # the same keys with other numbers


def free_row(begun: FreeBegun) -> dict[str, Any]:
    """The run as a row, without how it went."""
    return {
        "key": begun.key,
        "player_id": begun.player,
        "began_ns": begun.wall.ns,
        "utc_offset_s": begun.wall.utc_offset_s,
        "day": begun.wall.day,
        "until_ns": begun.wall.ns,
        "standard": begun.standard,
        "input": begun.input,
        "chanter": begun.profile.name,
        "profile": profile_json(begun.profile),
        "calibration_ns": begun.calibration_ns,
        "ornaments": 0,
        "clean": 0,
        "judge": __version__,
        "judged_ns": begun.judged_ns,
    }


def way_row(run: int, way: FreeWay) -> dict[str, Any]:
    """One way as a row."""
    row = way.row
    return {
        "run_id": run,
        "ornament": row["ornament"],
        "drill": way.drill,
        "in_tune": way.in_tune,
        "family": way.family,
        "played": row["played"],
        "clean": row["clean"],
        "held_ns": _ns(row["held_ms"]),
        "quick_ns": _ns(row["quick_ms"]),
        "faults": json.dumps(row["faults"]),
    }


def faults_from(text: str) -> Mapping[str, int]:
    """How often each fault was heard, as ``way_row`` wrote it; none if it is damaged."""
    try:
        found = json.loads(text)
    except ValueError:
        return {}
    return found if isinstance(found, dict) else {}


def _ns(length_ms: float | None) -> int | None:
    return None if length_ms is None else round(length_ms * NS_PER_MS)
