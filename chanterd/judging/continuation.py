"""How a tempo was kept without the click: tempo, drift, and how much of the unevenness is the timer's and the hand's.

The two-level model (Wing and Kristofferson 1973; formulas from memory, checked by simulation): the interval from one
beat to the next is what an inner timer gave, plus the delay of the hand at its end, less that at its beginning,
I(j) = C(j) + M(j) - M(j-1). So intervals next to each other vary against each other, by the hand alone: with g(k) the
autocovariance at lag k, the variance of the hand is -g(1), that of the timer g(0) + 2 g(1).

It does not hold while a click sounds, for then each beat is corrected by the last (Vorberg and Wing 1996). A change of
tempo would count as the timer's, so a straight line is taken out of the intervals first (common practice, no source).
Intervals are taken between the steps that belong on the beat, of reps that follow each other. All in ms; index 0 first.
"""

from collections.abc import Iterable, Sequence
from itertools import pairwise
from math import sqrt
from statistics import fmean, linear_regression, median

from pydantic import with_config
from typing_extensions import TypedDict

from chanterd.judging.limit import HEARD
from chanterd.judging.report import STRICT
from chanterd.judging.robust import spread
from chanterd.music.units import NS_PER_MS

FEWEST = 8
"""Intervals below which nothing is said: a choice of ours."""
SURE = 100
"""Intervals under which timer and hand are unsure: at 30 of them 15 simulated runs in 100 cannot be split at all."""
NO_INTERVAL = 0.4
"""An interval that is off the median by more than that share is a rest: a choice of ours."""
STUMBLE = 4.0
"""This many times the usual spread off the median it is a stumble, as when an ornament is wound up to: neither timer
nor hand, of which one interval in 16,000 is as far out (normal distribution; the limit is a choice of ours)."""
NOTICED_PERCENT = 1.5
"""The smallest change of tempo that anybody notices (Drake and Botte 1993; for most it is 3)."""

Beat = tuple[int, float]
"""A rep, from 0, and when its step on the beat came."""


@with_config(STRICT)
class Continuation(TypedDict):
    """How the tempo was kept."""

    intervals: int
    """Reps that followed each other and were timed."""
    asked_bpm: float
    kept_bpm: float | None
    drift_percent: float | None
    """By how much faster (+) the last interval was than the first, by a straight line through all."""
    timer_ms: float | None
    """Standard deviation of the timer; None if the model does not fit or does not hold."""
    hand_ms: float | None
    """Standard deviation of the hand."""
    sure: bool
    """There were enough intervals to measure timer and hand apart, and the model holds."""
    said: list[str]
    """Sentences for the player, the warnings last."""


def intervals_of(beats: Iterable[Beat]) -> list[float | None]:
    """From each beat to that of the next rep; None where a beat is missing, or the player stumbled or rested."""
    found = [None if rep + 1 != after else there - here for (rep, here), (after, there) in pairwise(sorted(set(beats)))]
    known = [one for one in found if one is not None]
    if not known:
        return []
    middle = median(known)
    most = min(NO_INTERVAL * middle, max(STUMBLE * spread(known), HEARD.of(middle * NS_PER_MS) / NS_PER_MS))
    return [None if one is None or abs(one - middle) > most else one for one in found]


def covariances(residuals: Sequence[float | None]) -> tuple[float, float]:
    """g(0) and g(1) of what is left of intervals without their mean or line; there are at least two in a row.

    The sums are over what is there, and divided by the number of intervals, as is usual for autocovariances.
    """
    known = [one for one in residuals if one is not None]
    products = [one * after for one, after in pairwise(residuals) if one is not None and after is not None]
    g0 = sum(one * one for one in known) / len(known)
    g1 = fmean(products) * (len(known) - 1) / len(known) if products else 0.0
    return g0, g1


def two_levels(g0: float, g1: float) -> tuple[float, float] | None:
    """Variances of timer and hand; None where either would be below zero, which no player can have."""
    timer, hand = g0 + 2 * g1, 0.0 - g1  # never -0.0, which would be printed with its sign
    return (timer, hand) if timer >= 0 and hand >= 0 else None


def continuation(beats: Iterable[Beat], asked_ms: float, asked_bpm: float, *, click_off: bool) -> Continuation:
    """Sum a run up; ``asked_ms`` is the length of a rep at ``asked_bpm`` clicks a minute."""
    intervals = intervals_of(beats)
    known = [(index, one) for index, one in enumerate(intervals) if one is not None]
    found = Continuation(
        intervals=len(known),
        asked_bpm=asked_bpm,
        kept_bpm=None,
        drift_percent=None,
        timer_ms=None,
        hand_ms=None,
        sure=False,
        said=[f"Too few reps to judge how you kept the tempo: {len(known)} in a row so far, at least {FEWEST} needed."],
    )
    if len(known) < FEWEST:
        return found
    at, lengths = [index for index, _ in known], [one for _, one in known]
    slope, start = linear_regression(at, lengths)
    left = {index: one - (start + slope * index) for index, one in known}
    residuals = [left.get(index) for index in range(len(intervals))]
    kept = asked_bpm * asked_ms / fmean(lengths)
    drift = 100 * ((start + slope * at[0]) / (start + slope * at[-1]) - 1)
    # How far the slope is from nothing, in standard errors of a least-squares line.
    middle = fmean(at)
    error = sqrt(sum(one**2 for one in left.values()) / (len(known) - 2) / sum((one - middle) ** 2 for one in at))
    drifts = abs(slope) > 2 * error and abs(drift) >= NOTICED_PERCENT
    levels = two_levels(*covariances(residuals)) if click_off else None
    found["kept_bpm"], found["drift_percent"] = round(kept, 2), round(drift, 2)
    found["sure"] = click_off and levels is not None and len(known) >= SURE
    found["said"] = [*_tempo(kept, asked_bpm, drift, drifts=drifts), *_levels(levels, len(known), click_off=click_off)]
    if levels is not None:
        found["timer_ms"], found["hand_ms"] = (round(sqrt(one), 2) for one in levels)
    return found


def _tempo(kept: float, asked: float, drift: float, *, drifts: bool) -> list[str]:
    off = 100 * (kept / asked - 1)
    than = f"{abs(off):.1f} % {'faster' if off > 0 else 'slower'} than" if abs(off) >= NOTICED_PERCENT else "close to"
    said = f"You kept {kept:.1f} clicks a minute, {than} the {asked:g} you set."
    if not drifts:
        return [said, "Your tempo held to the end."]
    return [said, f"You got {abs(drift):.1f} % {'faster' if drift > 0 else 'slower'} from beginning to end."]


def _levels(levels: tuple[float, float] | None, count: int, *, click_off: bool) -> list[str]:
    if not click_off:
        return ["Your timing and your hand cannot be measured apart with the click on: you correct each beat by it."]
    if levels is None:
        why = "Your timing and your hand cannot be measured apart in this run."
        return [f"{why} That is common with fewer than {SURE} reps."] if count < SURE else [why]
    timer, hand = (round(sqrt(one)) for one in levels)
    said = f"Your inner timing varies by ± {timer} ms from rep to rep; your hand adds ± {hand} ms to each beat."
    unsure = f"With {count} reps these two figures are rough; play {SURE} or more to be sure."
    return [said] if count >= SURE else [said, unsure]
