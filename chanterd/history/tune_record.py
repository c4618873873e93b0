"""The entries of a run through a tune for the writer: parts of its take, and its end. Cheap to make."""

import json
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from hashlib import sha256
from typing import Any

from chanterd import __version__
from chanterd.hearing.chanter import Profile
from chanterd.history.record import profile_json
from chanterd.history.wall_clock import WallTime
from chanterd.judging.tunes.report import NoteResult
from chanterd.music.tunes.tune import Tune
from chanterd.music.units import Bpm, Ns
from chanterd.practice.passage.asked import TuneAsked
from chanterd.practice.tune_run import TunePlayed


@dataclass(frozen=True, slots=True)
class TunePassage:
    """What is to be played of a tune."""

    tune: str
    """What it goes by on the shelf of tunes."""
    title: str
    written: str
    """See :func:`written_as`."""
    first: int
    last: int
    """Its notes in the tune as written, both included."""
    click_bpm: Bpm
    """The click, or that of the count-in where it stops then."""
    click_off: bool
    standard: str


@dataclass(frozen=True, slots=True)
class TuneBegun:
    """Whose run it is, what is to be played, and how the chanter is heard."""

    key: str
    """32 letters and digits that no other run has."""
    player: int
    """The player's number in the history."""
    name: str
    """The player's name, for what they play if they are deleted meanwhile."""
    wall: WallTime
    passage: TunePassage
    input: str
    profile: Profile
    calibration_ns: Ns | None
    lead_in_clicks: int
    judged_ns: int | None = None
    """When it was judged, if that was after it was played."""


@dataclass(frozen=True, slots=True)
class WayPlayed:
    """One drill of the book, over all places where the passage asks for it."""

    drill: str
    played: int
    clean: int


@dataclass(frozen=True, slots=True)
class TunePartPlayed:
    """The next part of the take of a run that goes on."""

    begun: TuneBegun
    part: int
    """Its number, from 0."""
    wall: WallTime
    midi: bytes
    """Events of a MIDI track."""


@dataclass(frozen=True, slots=True)
class TuneRunEnded:
    """A run is over and judged; why it ended in one or two words; the last part of its take."""

    begun: TuneBegun
    part: int
    """The number of the part, from 0."""
    wall: WallTime
    midi: bytes
    """Events of a MIDI track; for an import, the whole file."""
    why: str
    played: TunePlayed
    whole: bool = False


TuneEntry = TunePartPlayed | TuneRunEnded


def written_as(tune: Tune) -> str:
    """64 letters and digits that differ if other notes are written, so that a run is never judged by another tune."""
    notes = [(int(one.note), str(one.start), str(one.lasts), *map(int, one.gracenotes)) for one in tune.notes]
    bars = [(str(one.start), one.opens_repeat, one.closes_repeat, *one.ending) for one in tune.bars]
    return sha256(json.dumps([notes, bars]).encode()).hexdigest()


def ways_played(notes: Iterable[NoteResult]) -> tuple[WayPlayed, ...]:
    """Every drill of the book that was played, sorted by its words."""
    played, clean = Counter[str](), Counter[str]()
    for note in notes:
        ornament = note["ornament"]
        if ornament is not None and ornament["drill"] is not None:
            played[ornament["drill"]] += 1
            clean[ornament["drill"]] += ornament["clean"]
    return tuple(WayPlayed(drill, played[drill], clean[drill]) for drill in sorted(played))


def tune_row(begun: TuneBegun) -> dict[str, Any]:
    """The run as a row, without how it went."""
    passage = begun.passage
    return {
        "key": begun.key,
        "player_id": begun.player,
        "began_ns": begun.wall.ns,
        "utc_offset_s": begun.wall.utc_offset_s,
        "day": begun.wall.day,
        "until_ns": begun.wall.ns,
        "tune": passage.tune,
        "title": passage.title,
        "written": passage.written,
        "first": passage.first,
        "last": passage.last,
        "asked_bpm": passage.click_bpm,
        "click_bpm": passage.click_bpm,
        "click_off": passage.click_off,
        "standard": passage.standard,
        "input": begun.input,
        "chanter": begun.profile.name,
        "profile": profile_json(begun.profile),
        "calibration_ns": begun.calibration_ns,
        "lead_in_clicks": begun.lead_in_clicks,
        "ornaments": 0,
        "clean": 0,
    }


def judged_columns(played: TunePlayed, judged_ns: int | None) -> dict[str, Any]:
    """How it went, as columns of its row."""
    summary = played["summary"]
    return {
        "click_bpm": summary["click_bpm"],
        "ornaments": summary["ornaments"],
        "clean": summary["clean"],
        "judge": __version__,
        "judged_ns": judged_ns,
    }


def to_keep(asked: TuneAsked) -> TunePassage:
    """What somebody is to play, for the history."""
    played = asked.passage
    return TunePassage(
        tune=asked.key,
        title=asked.title,
        written=written_as(played.tune),
        first=played.first,
        last=played.last,
        click_bpm=asked.click_bpm,
        click_off=asked.click_off,
        standard=asked.standard.name,
    )
