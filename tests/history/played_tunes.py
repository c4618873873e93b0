"""Runs through tunes for the history to keep: simulated playing, through the real ear, follower and judge."""

from uuid import uuid4

from chanterd.hearing.simulated_tune import HUMAN, TuneHabits
from chanterd.hearing.track import TrackWriter
from chanterd.history.ledger import Ledger
from chanterd.history.players import Player
from chanterd.history.store import Store
from chanterd.history.tune_record import TuneBegun, TunePassage, TuneRunEnded, written_as
from chanterd.history.wall_clock import WallTime
from chanterd.music.tunes.passage import make_passage
from chanterd.music.units import NS_PER_S, Bpm
from tests.bench.tune_performances import TEMPI, Sample, sample, shipped
from tests.history.practised_runs import noon, profile

LEAD_IN = 8
JIG = "seven-gulls"


def simulated(tune: str = JIG, first: int = 0, last: int = 12, habits: TuneHabits = HUMAN, seed: int = 1) -> Sample:
    """A passage, three times through."""
    return sample(tune, habits, seed, make_passage(shipped(tune), first, last, loops=True), rounds=3)


def tune_begun(person: Player, one: Sample, tune: str = JIG, wall: WallTime | None = None) -> TuneBegun:
    """A run that begins."""
    asked = one.passage
    passage = TunePassage(
        tune=tune,
        title=asked.tune.title,
        written=written_as(asked.tune),
        first=asked.first,
        last=asked.last,
        click_bpm=Bpm(TEMPI[tune]),
        click_off=False,
        standard="steady",
    )
    return TuneBegun(uuid4().hex, person.number, person.name, wall or noon(), passage, "hand", profile(), None, LEAD_IN)


def tune_midi(one: Sample, tune: str = JIG) -> bytes:
    """The events of its take."""
    track = TrackWriter(TEMPI[tune], LEAD_IN)
    for message, at_ns in one.performance.messages:
        track.add(message, at_ns)
    return track.part()


def tune_ended(
    person: Player, one: Sample, tune: str = JIG, wall: WallTime | None = None, midi: bytes | None = None
) -> TuneRunEnded:
    """The run, over and judged half a minute later."""
    begun = tune_begun(person, one, tune, wall)
    over = WallTime(begun.wall.ns + 30 * NS_PER_S, begun.wall.utc_offset_s)
    return TuneRunEnded(begun, 0, over, tune_midi(one, tune) if midi is None else midi, "stopped", one.run().found())


def play_tune(
    store: Store, person: Player, one: Sample | None = None, tune: str = JIG, wall: WallTime | None = None
) -> int:
    """A whole run of theirs in the history; its number."""
    return Ledger(store).write(tune_ended(person, one or simulated(tune), tune, wall))
