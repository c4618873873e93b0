"""Runs through tunes out of the history: their takes judged by today's judge, and heard again.

The take goes through the same ear, follower and judge as when it was played, so that an unchanged chanterd finds what
it found then.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil, floor
from pathlib import Path

from chanterd.assessing.assess import hear_take
from chanterd.assessing.tune import assess_tune
from chanterd.config import ChanterdError
from chanterd.hearing.take import Take, parse_take
from chanterd.history.store import Store
from chanterd.history.tune_ledger import write_judged
from chanterd.history.tune_record import written_as
from chanterd.history.tune_rejudged import StoredTuneRun
from chanterd.history.tune_runs import tune_take_of
from chanterd.history.wall_clock import WallTime
from chanterd.judging.standard import find_standard
from chanterd.music.grid import TempoGrid
from chanterd.music.heard import Heard, Onset, Silence
from chanterd.music.note import Note
from chanterd.music.spread import standard_spread
from chanterd.music.tunes.passage import click_of, make_passage, within_bar
from chanterd.music.tunes.shelf import Shelf
from chanterd.music.tunes.tune import Tune
from chanterd.music.units import NS_PER_S, Ns
from chanterd.practice.tune_run import TunePlayed, TuneRun, from_beat0
from chanterd.tables import Tables

RINGS_NS = NS_PER_S
"""How long a last note that has no end sounds when it is heard again: our own choice."""


@dataclass(frozen=True, slots=True)
class SoundedAgain:
    """One note of a take, or a silence."""

    at_s: float
    note: Note | None
    place: int | None
    """The melody note that it was read as, or whose gracenote it was; None: none of the tune."""


@dataclass(frozen=True, slots=True)
class TakeAgain:
    """A take as it sounds again; times in s from its first sound on."""

    notes: tuple[SoundedAgain, ...]
    clicks: tuple[tuple[float, bool], ...]
    """When each click was, and whether a bar begins with it; none where the player had none."""
    end_s: float
    begins_s: float
    """Time 0 of the run: when its first note was due."""


def tune_of_run(stored: StoredTuneRun, shelf: Shelf) -> Tune:
    """The tune of a run. Raises ChanterdError if it is not at hand any more, or has changed since."""
    tune = shelf.find(stored.passage.tune).tune
    if tune is None or (stored.passage.written and written_as(tune) != stored.passage.written):
        raise ChanterdError(f"The notes of '{stored.passage.title}' have changed since it was played.")
    return tune


def judge_tune_again(store: Store, stored: StoredTuneRun, shelf: Shelf, tables: Tables, now: WallTime) -> TunePlayed:
    """Judge a run's take by today's judge and keep that in place of what was kept.

    Raises ChanterdError if its tune, its standard or its take is gone; then everything is as it was.
    """
    with store.reading() as connection:
        take = parse_take(Path(f"run {stored.run}"), tune_take_of(connection, stored.run))
    played = judged(stored, take, tune_of_run(stored, shelf), tables)
    with store.writing() as connection:
        write_judged(connection, stored.run, played, now.ns)
    return played


def judged(stored: StoredTuneRun, take: Take, tune: Tune, tables: Tables) -> TunePlayed:
    """What a run's take is by today's judge. Raises ChanterdError if its standard is gone."""
    passage = stored.passage
    if stored.imported:
        asked, standard = (
            make_passage(tune, passage.first, passage.last),
            find_standard(passage.standard, tables.standards),
        )
        bpm = None if passage.click_off else passage.click_bpm
        found = assess_tune(take, stored.profile, asked, tables.book, standard, standard_spread(), bpm)
        return TunePlayed(notes=found["notes"], summary=found["summary"])
    return _followed(stored, take, tune, tables).found()


def heard_again(stored: StoredTuneRun, take: Take, tune: Tune | None, tables: Tables) -> TakeAgain:
    """A run's take as it sounds again; without its tune no note has a place.

    Raises ChanterdError if its standard is gone.
    """
    places: dict[int, int] = {}
    heard = [one for one in hear_take(take, stored.profile) if isinstance(one, Onset | Silence)]
    if tune is not None:
        run = _followed(stored, take, tune, tables)
        heard = [one for one in heard if not run.before_it(one, 0.0)]
        places = {link.at_ns: run.note_at(link.place) for link in run.follower.chain()}
    began = heard[0].at_ns if heard else Ns(0)
    notes = tuple(
        SoundedAgain(
            (one.at_ns - began) / NS_PER_S,
            one.note if isinstance(one, Onset) else None,
            places.get(one.at_ns) if isinstance(one, Onset) else None,
        )
        for one in heard
    )
    end = heard[-1].at_ns + (0 if isinstance(heard[-1], Silence) else RINGS_NS) if heard else began
    clicks = () if tune is None or stored.passage.click_off else tuple(_clicks(stored, tune, began, Ns(end)))
    return TakeAgain(notes, clicks, (end - began) / NS_PER_S, -began / NS_PER_S)


def _followed(stored: StoredTuneRun, take: Take, tune: Tune, tables: Tables) -> TuneRun:
    passage = stored.passage
    asked = make_passage(tune, passage.first, passage.last, loops=not stored.imported)
    standard = find_standard(passage.standard, tables.standards)
    run = TuneRun(asked, tables.book, standard, standard_spread(), passage.click_bpm, click_off=passage.click_off)
    for heard in _of_it(hear_take(take, stored.profile), run):
        run.hear(heard)
    return run


def _of_it(heard: Iterator[Heard], run: TuneRun) -> Iterator[Heard]:
    return (from_beat0(one, Ns(0)) for one in heard if not run.before_it(one, 0.0))


def _clicks(stored: StoredTuneRun, tune: Tune, began_ns: Ns, end_ns: Ns) -> Iterator[tuple[float, bool]]:
    """The clicks from the one to the other time, from the first of these on."""
    click = TempoGrid(stored.passage.click_bpm, Ns(0))
    bar, within = within_bar(tune, tune.notes[stored.passage.first].start)
    first = float(within / click_of(bar.meter))
    in_bar = 4 if bar.meter is None else ceil(bar.meter.bar / click_of(bar.meter))
    for beat in range(ceil(first + click.beats(began_ns)), floor(first + click.beats(end_ns)) + 1):
        yield (click.at(beat - first) - began_ns) / NS_PER_S, beat % in_bar == 0
