"""Assessing a take of a tune: a file through the same ear, follower and judge that listen live."""

import json
from collections.abc import Iterable, Mapping
from dataclasses import replace

from typing_extensions import TypedDict

from chanterd.assessing.alignment import MOST_SEMITONES, transposed, transposed_words
from chanterd.assessing.assess import hear_take
from chanterd.config import ChanterdError
from chanterd.hearing.chanter import Profile
from chanterd.hearing.take import Take
from chanterd.judging.standard import Standard
from chanterd.judging.tunes.report import NoteResult, TuneSummary
from chanterd.music.heard import Heard, Stray
from chanterd.music.note import Note
from chanterd.music.ornament import Book
from chanterd.music.spread import Spread
from chanterd.music.tunes.passage import Passage
from chanterd.music.tunes.tune import Tune
from chanterd.music.units import Bpm
from chanterd.practice.tune_run import TuneRun

FIRST_GUESS_BPM = Bpm(80.0)
"""Where the search for the tempo of a take without a click begins: in the middle of what tunes are played at."""
ROUNDS = 2
"""The tempo that one reading finds makes the next one better; more change nothing."""
ENOUGH = 0.5
"""A chanter that knows a smaller share of the take's notes is another one: our own choice."""


class TuneAssessment(TypedDict):
    """What ``chanterd assess --tune --json`` prints."""

    tune: str
    click_bpm: float
    """The click; with ``--click-off`` the tempo that was played."""
    standard: str
    chanter: str
    unknown_notes: list[int]
    """MIDI note numbers that the chanter's profile does not know."""
    whole_take: list[str]
    """What is said of the take as a whole."""
    notes: list[NoteResult]
    """One entry for each time that a note of the tune was reached, in the order of time."""
    summary: TuneSummary


def assess_tune(
    take: Take,
    profile: Profile,
    passage: Passage,
    book: Book,
    standard: Standard,
    spread: Spread,
    click_bpm: Bpm | None,
) -> TuneAssessment:
    """Follow and judge a whole take; its time 0 is the first note as written. ``click_bpm`` None: without a click.

    Raises ChanterdError if nothing of the tune is in it.
    """
    heard = list(hear_take(take, profile))
    strays = sorted({one.midi for one in heard if isinstance(one, Stray)})
    found = follow_tune(heard, passage, book, standard, spread, click_bpm).found()
    if not found["notes"]:
        raise ChanterdError(
            f"{take.name}: nothing of '{passage.tune.title}' was heard in it with the chanter '{profile.name}'. "
            "Is it a take of this tune? --number chooses another tune of the file, --chanter another chanter."
        )
    return TuneAssessment(
        tune=passage.tune.title,
        click_bpm=found["summary"]["click_bpm"],
        standard=standard.name,
        chanter=profile.name,
        unknown_notes=strays,
        whole_take=[],
        notes=found["notes"],
        summary=found["summary"],
    )


def follow_tune(
    heard: Iterable[Heard],
    passage: Passage,
    book: Book,
    standard: Standard,
    spread: Spread,
    click_bpm: Bpm | None = None,
) -> TuneRun:
    """What was heard, followed; ``click_bpm`` None: without a click, by the player's own pulse."""
    run = TuneRun(passage, book, standard, spread, click_bpm or FIRST_GUESS_BPM, click_bpm is None)
    for round_left in range(ROUNDS if click_bpm is None else 0, -1, -1):
        for one in heard:
            run.hear(one)
        if round_left:
            run = replace(run, click_bpm=run.tempo())
    return run


def profile_for_tune(take: Take, profiles: Mapping[str, Profile], tune: Tune) -> tuple[Profile, str]:
    """The chanter whose notes are most of the take's runs of three that the tune has, transposed if need be.

    The second value is a sentence that says so if it is transposed, else empty. Of equals the first chanter as it is.
    Raises ChanterdError naming the notes that none of them knows.
    """
    written = [note for one in tune.notes for note in (*one.gracenotes, one.note)]
    runs = set(_runs(written))
    midi = [message.note for message, _ in take.messages if message.type == "note_on" and message.velocity]
    best: tuple[int, int, Profile, int] | None = None
    for profile in profiles.values():
        for semitones in sorted(range(-MOST_SEMITONES, MOST_SEMITONES + 1), key=abs):
            notes = [note for one in midi if (note := profile.notes.get(one - semitones)) is not None]
            fits = sum(run in runs for run in _runs(notes))
            known = sum(one - semitones in profile.notes or one in profile.drones for one in midi)
            if known >= ENOUGH * len(midi) and (best is None or (fits, known) > best[:2]):
                best = (fits, known, profile, semitones)
    if best is None:
        unknown = ", ".join(map(str, sorted(set(midi))[:12]))
        raise ChanterdError(
            f"{take.name}: no chanter profile knows most of its notes (MIDI {unknown}). Name one with --chanter, or "
            "teach the daemon your chanter with 'chanterd learn'."
        )
    _, _, profile, semitones = best
    return (transposed(profile, semitones), transposed_words(profile, semitones)) if semitones else (profile, "")


def _runs(notes: list[Note]) -> list[tuple[Note, ...]]:
    sounding = [note for index, note in enumerate(notes) if not index or notes[index - 1] is not note]
    return list(zip(sounding, sounding[1:], sounding[2:], strict=False))


def tune_assessment_json(found: TuneAssessment) -> str:
    """One JSON object, a note a line."""
    encode = json.JSONEncoder(allow_nan=False).encode
    members = [
        f'"{name}": ' + ("[\n" + ",\n".join(map(encode, found["notes"])) + "\n]" if name == "notes" else encode(value))
        for name, value in found.items()
    ]
    return "{" + ",\n".join(members) + "}"
