"""The entries of a run for the writer: its beginning, reps that are over, its end. Cheap to make in the event loop."""

import json
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from chanterd import __version__
from chanterd.hearing.chanter import Profile
from chanterd.history.wall_clock import WallTime
from chanterd.judging.report import RepResult
from chanterd.music.note import WORDS
from chanterd.music.units import Ns
from chanterd.practice.exercise import Exercise
from chanterd.practice.ladder.rule import as_json

CLICK_OFF = "click off"
"""The mode of a run whose click stops after the count-in."""


@dataclass(frozen=True, slots=True)
class RunBegun:
    """A run: its player, its exercise, and how the chanter is heard."""

    key: str
    """32 letters and digits that no other run has."""
    player: int
    """The player's number in the history."""
    name: str
    """The player's name, for what they play if they are deleted meanwhile."""
    wall: WallTime
    exercise: Exercise
    walks: bool
    """Up and down the scale: the way in changes from rep to rep."""
    input: str
    profile: Profile
    calibration_ns: Ns | None
    lead_in_clicks: int
    judged_ns: int | None = None
    """When it was judged, if that was after it was played."""


@dataclass(frozen=True, slots=True)
class RepsClosed:
    """Reps that are over for good, in order and without a gap, and the part of the take since the ones before."""

    begun: RunBegun
    results: Sequence[RepResult]
    wall: WallTime
    midi: bytes
    """Events of a MIDI track; for an import, the whole file."""
    whole: bool = False


@dataclass(frozen=True, slots=True)
class RunEnded:
    """A run is over, and why: one or two words."""

    begun: RunBegun
    why: str
    midi: bytes


Entry = RepsClosed | RunEnded


def run_row(begun: RunBegun) -> dict[str, Any]:
    """The run as a row, without the figures of its reps."""
    exercise = begun.exercise
    drill, ladder = exercise.drill, exercise.ladder
    return {
        "key": begun.key,
        "player_id": begun.player,
        "began_ns": begun.wall.ns,
        "utc_offset_s": begun.wall.utc_offset_s,
        "day": begun.wall.day,
        "until_ns": begun.wall.ns,
        "drill": drill.words,
        "ornament": drill.ornament.name,
        "family": drill.ornament.chapter,
        "lead": drill.lead.words,
        "theme": drill.theme.words,
        "stage": drill.stage,
        "click_bpm": exercise.click_bpm,
        "standard": exercise.standard.name,
        "spread": exercise.spread.held_of_click,
        "layout": exercise.layout.name,
        "walks": begun.walks,
        "mode": CLICK_OFF if exercise.click_off else None,
        "rule": None if ladder is None else json.dumps(as_json(ladder)),
        "input": begun.input,
        "chanter": begun.profile.name,
        "profile": profile_json(begun.profile),
        "calibration_ns": begun.calibration_ns,
        "lead_in_clicks": begun.lead_in_clicks,
        "judge": __version__,
        "judged_ns": begun.judged_ns,
    }


def profile_json(profile: Profile) -> str:
    """The profile as the run stores it, so that its take is heard the same way even if the profile is deleted."""
    return json.dumps(
        {
            "name": profile.name,
            "notes": {str(midi): WORDS[note] for midi, note in sorted(profile.notes.items())},
            "channel": profile.channel,
            "drones": sorted(profile.drones),
            "bounce_ms": profile.bounce_ms,
        },
        separators=(",", ":"),
    )
