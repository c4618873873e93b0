"""What a teacher would write under a run: what is steady, what is not, and what to practise next.

What counts as steady: our own choice, beside each number. The words are read aloud, so they are whole sentences.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from pydantic import ConfigDict, with_config
from typing_extensions import TypedDict

from chanterd.judging.limit import HEARD
from chanterd.music.drill import Drill, make_drill
from chanterd.music.grid import FASTEST_BPM, SLOWEST_BPM

STEADY_FROM = 5
"""Nothing is called steady, or not, in fewer reps."""
STEADY_MS = 12.0
"""A spread of the beat up to this is steady at any tempo; experts reach 10 ms at 500 ms (Repp 2005, from memory)."""
SAME_MS, SAME_SHARE = 2 * HEARD.within_ms, 0.15
"""Steps that spread by no more than this, or this share of their length, are the same each time: a note out of place by
what can be heard changes a length by twice that."""
EVEN_TIMES = 1.3
"""Up to this the longest step of a rep is as long as the shortest, to the ear of a kind teacher."""
READY_SHARE, READY_ROW = 0.85, 3
"""Clean in that share of the reps, and this many in a row (as is practised): ready for more."""
NOTCH_BPM = 4
"""Faster or slower by 3 to 5 clicks at a time: common practice, no source."""

HAPPENED = {
    "wrong ornament": "played another ornament",
    "too slow": "were too slow for the tempo",
    "too long": "held a gracenote or tap too long",
    "missing step": "left out a step",
    "wrong note": "played a wrong note",
    "wound up": "held the note before too long",
    "early": "were early",
    "late": "were late",
    "crushed": "crushed a step",
    "uneven": "played uneven steps",
    "cut short": "cut short a note beside the ornament",
    "paused": "paused after the ornament",
    "extra note": "played an extra note",
    "crossing noise": "made a crossing noise",
}


@with_config(ConfigDict(extra="forbid"))
class Next(TypedDict):
    """What to practise next."""

    said: str
    drill: str
    click_bpm: float


@with_config(ConfigDict(extra="forbid"))
class Remarks(TypedDict):
    """Sentences, most important first."""

    steady: list[str]
    unsteady: list[str]
    open: list[str]
    """What cannot be said yet."""
    next: Next | None


@dataclass(frozen=True, slots=True)
class Size:
    """One kind of step; None where there are too few."""

    middle_ms: float | None
    spread_ms: float | None
    times: float | None
    """The longest over the shortest within a rep."""


@dataclass(frozen=True, slots=True)
class Facts:
    """What is known of a run; see ``summary.Summary``."""

    drill: Drill | None
    click_bpm: float
    played: int
    clean: int
    longest_row: int
    bias_ms: float | None
    """None while there are not enough reps to speak of one."""
    spread_ms: float | None
    drift_ms: float | None
    heard_from_ms: float
    sizes: Mapping[str, "Size"]
    faults: Mapping[str, int]
    helping: str | None
    """The drill that helps with the commonest fault; None: the same, slower."""
    click_off: bool = False
    """The beat was the player's own, so that being late or early by it is no habit."""


Remark = tuple[Literal["steady", "unsteady", "open"], str]


def remarks(facts: Facts) -> Remarks:
    """In a teacher's words."""
    steadiness: tuple[Remark, ...] = ()
    found: dict[str, list[str]] = {"steady": [], "unsteady": [], "open": []}
    if facts.played:
        steadiness = (*_beat(facts), *_sizes(facts))
        for name, sentence in (*steadiness, *_faults(facts)):
            found[name].append(sentence)
    wavers = [said for name, said in steadiness if name == "unsteady"]
    steady, unsteady, unknown = found["steady"], found["unsteady"], found["open"]
    return Remarks(steady=steady, unsteady=unsteady, open=unknown, next=_next(facts, wavers))


def _faults(facts: Facts) -> Iterator[Remark]:
    for fault, times in list(facts.faults.items())[:3]:
        yield "unsteady", f"You {HAPPENED[fault]} in {_of(times, facts.played)}."


def _of(times: int, played: int) -> str:
    if times == played:
        return "every rep" if played > 1 else "the one rep you played"
    return f"{times} of {played} reps"


def _beat(facts: Facts) -> Iterator[Remark]:
    if facts.spread_ms is None or facts.played < STEADY_FROM:
        yield "open", f"Too few reps yet to know a habit from a slip: play at least {STEADY_FROM}."
        return
    within = max(STEADY_MS, facts.heard_from_ms)
    if facts.spread_ms <= within:
        yield "steady", f"Your beat is steady, give or take {facts.spread_ms:.0f} ms."
    else:
        yield "unsteady", f"Your beat wanders, give or take {facts.spread_ms:.0f} ms."
    if facts.click_off:
        return
    if facts.bias_ms is None:
        yield "open", "Too few reps yet to say whether you are usually early or late."
    elif abs(facts.bias_ms) <= facts.heard_from_ms:
        yield "steady", _on_the_click(facts.bias_ms)
    else:
        yield "steady", f"You are usually {_off(facts.bias_ms)}: a habit, not a slip."
    drifted = (facts.drift_ms or 0.0) * (facts.played - 1)
    if abs(drifted) > 2 * facts.heard_from_ms:
        yield "unsteady", f"You got {abs(drifted):.0f} ms {_way(drifted)} from the first rep to the last."


def _off(bias_ms: float) -> str:
    return f"{abs(bias_ms):.0f} ms {'late' if bias_ms > 0 else 'early'}"


def _on_the_click(bias_ms: float) -> str:
    """With the ms, since the figures beside it show them too."""
    if round(bias_ms) == 0:
        return "You are on the click."
    return f"You are on the click: usually {_off(bias_ms)}, too little to hear."


def _way(drifted: float) -> str:
    return "later" if drifted > 0 else "earlier"


def _sizes(facts: Facts) -> Iterator[Remark]:
    for kind, name in (("held", "Your held notes"), ("quick", "Your gracenotes and taps")):
        size = facts.sizes[kind]
        middle, wide, times = size.middle_ms, size.spread_ms, size.times
        if middle is None or wide is None or facts.played < STEADY_FROM:
            continue
        long = f"about {middle:.0f} ms, give or take {wide:.0f}"
        if wide <= max(SAME_MS, SAME_SHARE * middle):
            yield "steady", f"{name} are the same each time: {long}."
        else:
            yield "unsteady", f"{name} change from rep to rep: {long}."
        if times is not None and times > EVEN_TIMES:
            yield "unsteady", f"{name} differ within a rep: the longest is {times:.1f} times the shortest."


def _next(facts: Facts, wavers: Sequence[str]) -> Next | None:
    """Whoever is not steady is not ready: sameness comes before tempo (common practice, no source)."""
    drill = facts.drill
    if not facts.played or drill is None or not facts.click_bpm:
        return None
    bpm, faster = facts.click_bpm, min(facts.click_bpm + NOTCH_BPM, FASTEST_BPM)
    if facts.clean >= READY_SHARE * facts.played and facts.longest_row >= READY_ROW:
        if wavers:
            said = f"Next: the same at {bpm:g}, until it is the same each time."
            return Next(said=said, drill=drill.words, click_bpm=bpm)
        if drill.stage is not None:
            after = make_drill(drill.ornament, drill.lead, drill.theme, drill.stage + 1).words
            return Next(said=f"You are ready for more: {after}, at {bpm:g}.", drill=after, click_bpm=bpm)
        return Next(said=f"You are ready for more: the same at {faster:g}.", drill=drill.words, click_bpm=faster)
    if not facts.faults:
        said = f"Next: the same at {bpm:g}, until three in a row are clean."
        return Next(said=said, drill=drill.words, click_bpm=bpm)
    if facts.helping is not None:
        said = f"Next: {facts.helping}, at {bpm:g}. When three in a row are clean, come back."
        return Next(said=said, drill=facts.helping, click_bpm=bpm)
    slower = max(bpm - NOTCH_BPM, SLOWEST_BPM)
    said = f"Next: the same at {slower:g}. When three in a row are clean, come back to {bpm:g}."
    return Next(said=said, drill=drill.words, click_bpm=slower)
