"""A cue as it goes to a machine elsewhere, whose input performs: a simulated player there, or a take.

Times are ns; a cue that is sent has them on the class's clock. Pure.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import islice
from typing import Any

import mido

from chanterd.hearing.source import Cue, Phrase
from chanterd.music.note import note_from_words
from chanterd.music.units import Ns

MOST_PERFORMED = 20_000
"""Messages of a performance that are sent: half an hour of a tune's ornaments."""

Timed = tuple[mido.Message, Ns]


@dataclass(frozen=True, slots=True)
class Written:
    """A performance that was made elsewhere, note by note."""

    messages: tuple[Timed, ...]

    def __call__(self, _seed: int) -> Iterable[Timed]:
        """It, whatever the seed."""
        return self.messages


def cue_frame(cue: Cue | None, seed: int) -> dict[str, Any]:
    """The frame; a performance is made here, with that seed, since only the class knows how. That may take a while."""
    if cue is None:
        return {"kind": "cue", "cue": None}
    phrases = [{"notes": [note.words for note in one.notes], "offsets_ns": one.offsets_ns} for one in cue.phrases]
    performed = None
    if cue.performance is not None:
        timed = islice(cue.performance(seed), MOST_PERFORMED)
        performed = [(at_ns, message.hex("")) for message, at_ns in timed]
    shown = {"beat0_ns": cue.beat0_ns, "rep_ns": cue.rep_ns, "phrases": phrases, "click_off": cue.click_off}
    return {"kind": "cue", "cue": {**shown, "performed": performed}}


def cue_from_frame(frame: dict[str, Any]) -> Cue | None:
    """The cue in a frame. Raises KeyError, TypeError, ValueError or ChanterdError if it is none."""
    shown = frame["cue"]
    if shown is None:
        return None
    phrases = tuple(
        Phrase(tuple(map(note_from_words, one["notes"])), tuple(map(Ns, one["offsets_ns"]))) for one in shown["phrases"]
    )
    performed = shown["performed"]
    written = None
    if performed is not None:
        written = Written(tuple((mido.Message.from_hex(data), Ns(at_ns)) for at_ns, data in performed))
    return Cue(Ns(shown["beat0_ns"]), Ns(shown["rep_ns"]), phrases, bool(shown["click_off"]), written)


def caught_up(cue: Cue, now_ns: Ns) -> Cue:
    """The cue from the next rep on, for whoever joins when it has begun; what a performance has had by then is over."""
    if now_ns <= cue.beat0_ns:
        return cue
    if cue.performance is not None:
        rest = tuple(one for one in cue.performance(0) if cue.beat0_ns + one[1] >= now_ns)
        return replace(cue, performance=Written(rest))
    reps = -(-(now_ns - cue.beat0_ns) // cue.rep_ns)
    turn = reps % len(cue.phrases)
    return replace(cue, beat0_ns=Ns(cue.beat0_ns + reps * cue.rep_ns), phrases=cue.phrases[turn:] + cue.phrases[:turn])
