"""Tunes as a page shows them: the list, and one with its notes, its parts and its ornaments."""

from fractions import Fraction

from typing_extensions import TypedDict

from chanterd.hearing.model_tune import ModelTune
from chanterd.music.ornament import Book
from chanterd.music.tunes.build_up import stage_counts
from chanterd.music.tunes.excerpts import parts_of
from chanterd.music.tunes.listing import ListedTune, bars_of, list_tune
from chanterd.music.tunes.shelf import Shelved
from chanterd.music.tunes.tune import Remark, Tune
from chanterd.practice.proposal.mastery import Mastery, WayWork


class TuneRow(TypedDict):
    """One tune of the list."""

    tune: str
    """What it goes by in the other routes."""
    title: str
    kind: str
    """March, strathspey, …: as its file says; empty if it says nothing."""
    time: str
    """Its time signature, such as ``6/8``; empty in free time."""
    bars: int
    ornaments: int
    """Notes that have gracenotes."""
    own: bool
    """Whether it is the player's own and may be deleted."""
    file: str
    said: str
    """Why its file cannot be read; empty if it can."""


class RemarkShown(TypedDict):
    """Something in the file that was not understood; lines and columns count from 1."""

    line: int
    column: int
    said: str


class TuneShown(ListedTune):
    """One tune, as ``chanterd tune --json`` lists it, with what a page needs beside it."""

    tune: str
    kind: str
    own: bool
    click: str
    """How long a click is, as a fraction of a whole note."""
    parts: list[tuple[int, int]]
    """The first and the last note of each part."""
    stages: list[int]
    """By note, how many stages the build-up of its ornament has; 0 where it has none."""
    remarks: list[RemarkShown]


class MasteryShown(TypedDict):
    """How one ornament of a tune goes for a player."""

    drill: str
    ornament: str
    times: int
    """How often it occurs in the tune."""
    mastery: Mastery
    said: str
    held_bpm: float | None
    """The tempo last held clean, in clicks a minute."""


class NoteHeard(TypedDict):
    """One note or gracenote of a tune as it sounds."""

    at_s: float
    note: str | None
    """None: silence."""
    place: int | None
    """The index of the melody note that it is or belongs to; None: of none."""


class ClickHeard(TypedDict):
    """One click of a tune as it sounds."""

    at_s: float
    accent: bool
    """Whether a bar begins with it."""


class HeardTune(TypedDict):
    """A passage as it sounds."""

    notes: list[NoteHeard]
    clicks: list[ClickHeard]
    end_s: float
    begins_s: float
    """When its first note is due."""


MOST_REMARKS = 50
"""That a page gets."""


def tune_row(one: Shelved) -> TuneRow:
    """One tune of the list."""
    tune = one.tune
    return TuneRow(
        tune=one.key,
        title=tune.title if tune and tune.title else one.key,
        kind="" if tune is None else tune.kind,
        time="" if tune is None or tune.meter is None else f"{tune.meter.beats}/{tune.meter.unit}",
        bars=0 if tune is None else bars_of(tune),
        ornaments=0 if tune is None else sum(bool(note.gracenotes) for note in tune.notes),
        own=one.own,
        file=one.path.name,
        said=one.said,
    )


def tune_shown(key: str, tune: Tune, book: Book, *, own: bool) -> TuneShown:
    """One tune with its notes."""
    listed = list_tune(tune, book)
    listed["title"] = tune.title or key
    return TuneShown(
        **listed,
        tune=key,
        kind=tune.kind,
        own=own,
        click=str(Fraction(1, 4) if tune.meter is None else tune.meter.click),
        parts=parts_of(tune),
        stages=stage_counts(book, tune),
        remarks=[_remark(one) for one in tune.remarks[:MOST_REMARKS]],
    )


def mastery_shown(one: WayWork) -> MasteryShown:
    """One ornament with its words."""
    said = f"{one.clean} of {one.played} clean" if one.played else "not practised yet"
    return MasteryShown(
        drill=one.drill.words,
        ornament=one.drill.ornament.name,
        times=one.times,
        mastery=one.mastery,
        said=said,
        held_bpm=one.held_bpm,
    )


def heard_tune(model: ModelTune) -> HeardTune:
    """A passage as it sounds, to a tenth of a ms."""
    return HeardTune(
        notes=[NoteHeard(at_s=round(one.at_s, 4), note=one.note.words, place=one.place) for one in model.notes],
        clicks=[ClickHeard(at_s=round(at_s, 4), accent=accent) for at_s, accent in model.clicks],
        end_s=round(model.end_s, 4),
        begins_s=0.0,
    )


def _remark(remark: Remark) -> RemarkShown:
    return RemarkShown(line=remark.line, column=remark.column, said=remark.said)
