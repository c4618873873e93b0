"""Takes of tunes for the history: one that is named, or those that are found in a recording."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from uuid import uuid4

from chanterd.assessing.listen import HeardTake, messages_in
from chanterd.assessing.rejudge import IMPORTED
from chanterd.assessing.tune import FIRST_GUESS_BPM, assess_tune
from chanterd.config import ChanterdError
from chanterd.hearing.chanter import Profile
from chanterd.hearing.take import Take
from chanterd.hearing.track import whole_take
from chanterd.history.ledger import Ledger
from chanterd.history.players import Player
from chanterd.history.store import Store
from chanterd.history.tune_record import TuneBegun, TunePassage, TuneRunEnded, written_as
from chanterd.history.wall_clock import WallTime
from chanterd.judging.standard import Standard
from chanterd.listening.passages import Passage
from chanterd.music.spread import standard_spread
from chanterd.music.tunes.passage import make_passage
from chanterd.music.tunes.shelf import Shelf, Shelved
from chanterd.music.units import Bpm
from chanterd.practice.tune_run import TunePlayed
from chanterd.tables import Tables


@dataclass(frozen=True, slots=True)
class TuneTake:
    """A take of a tune that is at hand, judged."""

    midi: bytes
    take: Take
    profile: Profile
    passage: TunePassage
    played: TunePlayed


def tune_take(
    midi: bytes,
    take: Take,
    profile: Profile,
    shelved: Shelved,
    click_bpm: Bpm | None,
    standard: Standard,
    known: Tables,
) -> TuneTake:
    """Judge a take of a whole tune; ``click_bpm`` None: played without a click.

    Raises ChanterdError if nothing of the tune is in it.
    """
    tune = shelved.tune
    if tune is None:
        raise ChanterdError(shelved.said)
    whole = make_passage(tune)
    found = assess_tune(take, profile, whole, known.book, standard, standard_spread(), click_bpm)
    passage = TunePassage(
        tune=shelved.key,
        title=tune.title or shelved.key,
        written=written_as(tune),
        first=whole.first,
        last=whole.last,
        click_bpm=click_bpm or FIRST_GUESS_BPM,
        click_off=click_bpm is None,
        standard=standard.name,
    )
    return TuneTake(midi, take, profile, passage, TunePlayed(notes=found["notes"], summary=found["summary"]))


def keep_tune_take(store: Store, player: Player, name: str, one: TuneTake, ended: WallTime) -> int:
    """Add a player's take to the history, with the file as it is; the number of the new run.

    ``name`` is the file's; ``ended`` is when the playing did. Raises ChanterdError if it cannot be written.
    """
    begun = TuneBegun(
        key=uuid4().hex,
        player=player.number,
        name=player.name,
        wall=WallTime(ended.ns - one.take.messages[-1][1], ended.utc_offset_s),
        passage=one.passage,
        input=f"{IMPORTED}: {name}",
        profile=one.profile,
        calibration_ns=None,
        lead_in_clicks=0,
    )
    with store.explain_write_errors():
        return Ledger(store).write(TuneRunEnded(begun, 0, ended, one.midi, IMPORTED, one.played, whole=True))


def tunes_in_take(
    take: Take, heard: HeardTake, shelf: Shelf, standard: Standard, known: Tables
) -> Iterator[tuple[Passage, TuneTake]]:
    """The tunes of a take in order of time. Whether there was a click is not known: each is judged by its own pulse."""
    at_hand = {one.tune.title or one.path.stem: one for one in shelf.tunes() if one.tune is not None}
    for passage in heard.passages:
        shelved = at_hand.get(passage.tune or "")
        if passage.kind != "tune" or shelved is None:
            continue
        messages = messages_in(take, passage, passage.start_ns)
        part = replace(take, messages=messages, click_bpm=FIRST_GUESS_BPM, tempi=())
        midi = whole_take(messages, FIRST_GUESS_BPM)
        yield passage, tune_take(midi, part, heard.profile, shelved, None, standard, known)


def shelved_tune(shelf: Shelf, words: str, file: tuple[str, bytes] | None, number: int) -> Shelved:
    """The tune that is meant: of a file, which is kept on the shelf, that one of its tunes; else by what it goes by.

    ``file``: its name and what is in it. Raises ChanterdError if there is no such tune.
    """
    if file is None:
        return shelf.find(words)
    tunes = shelf.add(*file)
    if number > len(tunes):
        raise ChanterdError(f"The number of the tune is {number}; {file[0]} has {len(tunes)}.")
    return tunes[number - 1]
