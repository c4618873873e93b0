"""A recording of which nothing was known, into the history: each drill, tune and stretch of free playing as a run."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal
from uuid import uuid4

from chanterd.assessing.assess import Assessment
from chanterd.assessing.drills_in_take import DrillInTake, drills_in_take
from chanterd.assessing.free_again import FreeJudged, free_judged
from chanterd.assessing.listen import HeardTake, messages_in
from chanterd.assessing.rejudge import IMPORTED, keep_take
from chanterd.assessing.tune_import import TuneTake, keep_tune_take, tunes_in_take
from chanterd.hearing.take import Take
from chanterd.hearing.track import whole_take
from chanterd.history.free_record import WRITTEN_BPM, FreeBegun, FreePartPlayed
from chanterd.history.ledger import Ledger
from chanterd.history.players import Player
from chanterd.history.store import Store
from chanterd.history.wall_clock import WallTime
from chanterd.judging.standard import Standard
from chanterd.listening.passages import Passage
from chanterd.music.tunes.shelf import Shelf
from chanterd.tables import Tables


@dataclass(frozen=True, slots=True)
class FreeInTake:
    """A stretch of free playing, judged."""

    midi: bytes
    judged: FreeJudged
    standard: str


@dataclass(frozen=True, slots=True)
class ToKeep:
    """One passage that becomes a run."""

    passage: Passage
    what: tuple[DrillInTake, Assessment] | TuneTake | FreeInTake


@dataclass(frozen=True, slots=True)
class Kept:
    """One passage that is a run now."""

    passage: Passage
    kind: Literal["drill", "tune", "free"]
    run: int
    """Its number among the runs of that kind."""


def to_keep(take: Take, heard: HeardTake, shelf: Shelf, standard: Standard, tables: Tables) -> list[ToKeep]:
    """All that can be kept, in order of time.

    A drill at a tempo that cannot be practised, or a tune that is not at hand, is kept as free playing; silence, and
    notes without any ornament, are not kept.
    """
    found: dict[Passage, ToKeep] = {}
    for drill in drills_in_take(take, heard, standard.name, tables):
        found[drill.passage] = ToKeep(drill.passage, (drill, drill.request.assessed()))
    for passage, tune in tunes_in_take(take, heard, shelf, standard, tables):
        found[passage] = ToKeep(passage, tune)
    for passage in heard.passages:
        if passage.kind != "silence" and passage not in found:
            free = _free(take, heard, passage, standard)
            if free.judged.ornaments:
                found[passage] = ToKeep(passage, free)
    return sorted(found.values(), key=lambda one: one.passage.start_ns)


def _free(take: Take, heard: HeardTake, passage: Passage, standard: Standard) -> FreeInTake:
    inside = [one for one in heard.found if passage.start_ns <= one.sounds[-1].onset_ns < passage.end_ns]
    messages = messages_in(take, passage, passage.start_ns)
    judged = free_judged(inside, standard, passage.start_ns)
    return FreeInTake(whole_take(messages, WRITTEN_BPM), judged, standard.name)


def keep_all(
    store: Store, player: Player, take: Take, heard: HeardTake, ones: Iterable[ToKeep], ended: WallTime
) -> Iterator[Kept]:
    """Add them to a player's history, one after the other; ``ended`` is when the recording did.

    Raises ChanterdError if one cannot be written; those before it are kept.
    """
    last_ns = take.messages[-1][1]
    for one in ones:
        over = WallTime(ended.ns - last_ns + one.passage.end_ns, ended.utc_offset_s)
        what = one.what
        if isinstance(what, TuneTake):
            yield Kept(one.passage, "tune", keep_tune_take(store, player, take.name, what, over))
        elif isinstance(what, FreeInTake):
            yield Kept(one.passage, "free", _keep_free(store, player, take.name, heard, one.passage, what, over))
        else:
            drill, assessed = what
            yield Kept(one.passage, "drill", keep_take(store, player, take.name, drill.request, assessed, over))


def _keep_free(
    store: Store, player: Player, name: str, heard: HeardTake, passage: Passage, free: FreeInTake, ended: WallTime
) -> int:
    begun = FreeBegun(
        key=uuid4().hex,
        player=player.number,
        name=player.name,
        wall=WallTime(ended.ns - (passage.end_ns - passage.start_ns), ended.utc_offset_s),
        standard=free.standard,
        input=f"{IMPORTED}: {name}",
        profile=heard.profile,
        calibration_ns=None,
        judged_ns=None,
    )
    judged = free.judged
    part = FreePartPlayed(begun, 0, ended, free.midi, judged.ornaments, judged.ways, IMPORTED, whole=True)
    with store.explain_write_errors():
        return Ledger(store).write(part)


def counted(ones: Sequence[ToKeep]) -> dict[str, int]:
    """How many passages of each kind there are to keep."""
    kinds = [
        "tune" if isinstance(one.what, TuneTake) else "free" if isinstance(one.what, FreeInTake) else "drill"
        for one in ones
    ]
    return {kind: kinds.count(kind) for kind in ("drill", "tune", "free")}
