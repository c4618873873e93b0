"""The wall's words: one about a rep, a sentence on how close together the band is, and whether that got better."""

from typing import Literal

from chanterd.judging.report import RepResult

REPS_AGO = 10
"""What the band's closeness is compared with."""
GOOD_MS = (27, 49)
"""How far apart the onsets of good ensembles are: standard deviations of six trios, winds and strings (R. A. Rasch,
Acustica 43, 1979:121, by a thesis that quotes it)."""
BETTER_MS = 6.0
"""A smaller change of closeness is none: it is about what a displaced note is heard by (Friberg and Sundberg 1995)."""

SHORT = {"wrong ornament": "another one", "missing step": "missing", "crossing noise": "crossing"}
"""Faults whose names are too long to be read from the last row beside a strip."""

Way = Literal["clean", "early", "late", "other", "rest"]


def word_of(result: RepResult) -> tuple[str, Way]:
    """One word about a rep, and which way it went: how far off the beat was if that was its fault, else the fault."""
    if result["skipped"]:
        return "rests", "rest"
    if result["clean"]:
        return "clean", "clean"
    fault = result["faults"][0]["fault"]
    off_ms = result["anchor_ms"]
    if fault in ("late", "early") and off_ms is not None:
        return f"{abs(off_ms):.0f} {fault}", "late" if fault == "late" else "early"
    return SHORT.get(fault, fault), "other"


def together_words(together_ms: float | None) -> str:
    """How close together a band is."""
    if together_ms is None:
        return "One player alone is always together."
    if together_ms < GOOD_MS[0]:
        return f"On the beat you are {together_ms:.0f} ms apart: closer than most ensembles."
    if together_ms <= GOOD_MS[1]:
        return f"On the beat you are {together_ms:.0f} ms apart, as good ensembles are."
    return f"On the beat you are {together_ms:.0f} ms apart."


def trend_words(together: list[float]) -> str:
    """Whether that got better over the last reps."""
    if len(together) <= REPS_AGO:
        return ""
    before, now = together[-1 - REPS_AGO], together[-1]
    if abs(before - now) < BETTER_MS:
        return "About as close as ten reps ago."
    return f"Ten reps ago: {before:.0f} ms." if before > now else f"Ten reps ago you were closer: {before:.0f} ms."
