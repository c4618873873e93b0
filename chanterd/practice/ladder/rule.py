"""The rule of a tempo ladder, as a teacher sets it before starting; checked whole, every mistake told at once.

Tempi are clicks a minute. The limits and what is offered: common practice, no source.
"""

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any

from chanterd.config import ChanterdError, did_you_mean
from chanterd.music.grid import FASTEST_BPM, SLOWEST_BPM
from chanterd.music.units import Bpm

SMALLEST_RAISE, LARGEST_RAISE = 1.0, 20.0
LONGEST_ROW = 100
MOST_TRIES = 100
DECIMALS = 2
"""Of a tempo in a rule: finer differences cannot be heard, and would make notches that hardly differ."""


@dataclass(frozen=True, slots=True)
class Rule:
    """How a ladder is climbed."""

    first_bpm: Bpm
    raise_bpm: float
    """From one notch to the next."""
    in_a_row: int
    """Clean reps in a row that lead on."""
    top_bpm: Bpm
    """Never faster than this."""
    tries: int
    """How many tries at the row before going down a notch."""
    performing_bpm: Bpm
    """Where it is proved at the end."""


OFFERED = Rule(Bpm(60.0), 4.0, 3, Bpm(80.0), 5, Bpm(66.0))
"""What is offered before anything is chosen; tempi go up by 3 to 5, three in a row (common practice, no source)."""

_TEMPO = ("a number of clicks a minute", SLOWEST_BPM, FASTEST_BPM)
_LIMITS: dict[str, tuple[str, float, float]] = {
    "first_bpm": _TEMPO,
    "raise_bpm": ("a number of clicks a minute", SMALLEST_RAISE, LARGEST_RAISE),
    "in_a_row": ("a whole number of clean reps", 1, LONGEST_ROW),
    "top_bpm": _TEMPO,
    "tries": ("a whole number of tries", 1, MOST_TRIES),
    "performing_bpm": _TEMPO,
}
_MENDS = {"raise_bpm": "3 to 5 is usual", "in_a_row": "3, 5 or 10 is usual", "tries": "5 is usual"}
"""The end of the sentence; for a tempo the offered one is named."""


def rule_asked(asked: Mapping[str, Any]) -> Rule:
    """The rule from outside, by its fields' names. Raises ChanterdError with a line for each mistake."""
    wrong = rule_mistakes(asked)
    if wrong:
        raise ChanterdError("\n".join(wrong))
    first, notch, top, performing = (
        round(float(asked[key]), DECIMALS) for key in ("first_bpm", "raise_bpm", "top_bpm", "performing_bpm")
    )
    return Rule(Bpm(first), notch, int(asked["in_a_row"]), Bpm(top), int(asked["tries"]), Bpm(performing))


def rule_mistakes(asked: Mapping[str, Any]) -> list[str]:
    """One sentence for each mistake in a rule from outside; empty if there is none."""
    unknown = [
        f"The ladder's '{key}' is not known here.{did_you_mean(key, _LIMITS)} Known are: {', '.join(_LIMITS)}."
        for key in asked
        if key not in _LIMITS
    ]
    wrong = {key: mistake for key in _LIMITS if (mistake := _mistake(key, asked))}
    return [*unknown, *wrong.values(), *_order_mistakes(asked, wrong)]


def as_json(rule: Rule) -> dict[str, float | int]:
    """The rule by its fields' names, as it is asked for."""
    return asdict(rule)


def _mistake(key: str, asked: Mapping[str, Any]) -> str:
    kind, low, high = _LIMITS[key]
    value = asked.get(key)
    number = isinstance(value, int | float) and not isinstance(value, bool)
    if number and low <= value <= high and (not kind.startswith("a whole") or value == int(value)):  # type: ignore[operator, arg-type]
        return ""
    found = f"is {value!r}" if key in asked else "is missing"
    mend = _MENDS.get(key) or f"such as {getattr(OFFERED, key):g}"
    return f"The ladder's '{key}' {found}; it must be {kind} from {low:g} to {high:g}, {mend}."


def _order_mistakes(asked: Mapping[str, Any], wrong: Mapping[str, str]) -> list[str]:
    """Nothing may be above the top; what is no tempo at all has been told already."""
    if "top_bpm" in wrong:
        return []
    top = asked["top_bpm"]
    return [
        f"The ladder's '{key}' is {asked[key]:g}, above its 'top_bpm', which is {top:g}; "
        f"it must be at most that. Is one of them a number of beats, not of clicks?"
        for key in ("first_bpm", "performing_bpm")
        if key not in wrong and asked[key] > top
    ]
