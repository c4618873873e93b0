"""The rule of a tempo ladder, as a teacher sets it before starting; checked whole, all mistakes at once.

Tempi are clicks a minute. The limits and what is offered: common practice, no source.
"""

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from math import ceil, floor
from typing import Annotated, Any, NotRequired

from annotated_types import Interval
from typing_extensions import Doc, TypedDict

from chanterd.config import ChanterdError, FieldsError, Mistake
from chanterd.music.grid import FASTEST_BPM, SLOWEST_BPM
from chanterd.music.units import Bpm
from chanterd.sentences import Names, named
from chanterd.table_file import parts
from chanterd.values import Whole, table

SMALLEST_RAISE, LARGEST_RAISE = 1.0, 20.0
LONGEST_ROW = 100
MOST_TRIES = 100
DECIMALS = 2
"""Of a tempo in a rule: finer differences cannot be heard, and would make notches that hardly differ."""


@dataclass(frozen=True, slots=True)
class Rule:
    """The numbers of a ladder."""

    first_bpm: Bpm
    raise_bpm: float
    """From one notch to the next."""
    in_a_row: int
    """Clean reps in a row that lead on."""
    top_bpm: Bpm
    """Never faster than this."""
    tries: int
    """How many tries at the row before going down a notch."""
    performing_bpm: Bpm | None = None
    """Where the player proves it at the end; None: the ladder ends with the row at the fastest tempo that has one."""

    def tempo(self, notch: int) -> Bpm:
        """The tempo of a notch: never above the top, never below the slowest there is."""
        return Bpm(round(max(min(self.first_bpm + notch * self.raise_bpm, self.top_bpm), SLOWEST_BPM), DECIMALS))

    @property
    def top_notch(self) -> int:
        """The first notch that is at the top."""
        return ceil(self._notches(self.top_bpm))

    @property
    def lowest_notch(self) -> int:
        """The first notch down that is at the slowest tempo there is."""
        return floor(self._notches(SLOWEST_BPM))

    def _notches(self, bpm: float) -> float:
        """How many notches a tempo is above the first, free of what binary fractions add at the last places."""
        return round((bpm - self.first_bpm) / self.raise_bpm, 6)


OFFERED = Rule(Bpm(60.0), 4.0, 3, Bpm(80.0), 5)
"""What is offered before anything is chosen; tempi go up by 3 to 5, three in a row (common practice, no source)."""

_TEMPO = f"a number of clicks a minute from {SLOWEST_BPM:g} to {FASTEST_BPM:g}"
_RAISE = f"a number of clicks a minute from {SMALLEST_RAISE:g} to {LARGEST_RAISE:g}, 3 to 5 is usual"
_ROW = f"a whole number of clean reps from 1 to {LONGEST_ROW}, 3, 5 or 10 is usual"
_TRIES = f"a whole number of tries from 1 to {MOST_TRIES}, 5 is usual"
_Tempo = Annotated[float, Interval(ge=SLOWEST_BPM, le=FASTEST_BPM)]


@table
class RuleTable(TypedDict):
    """A rule from outside."""

    first_bpm: Annotated[_Tempo, Doc(f"{_TEMPO}, such as {OFFERED.first_bpm:g}")]
    raise_bpm: Annotated[float, Interval(ge=SMALLEST_RAISE, le=LARGEST_RAISE), Doc(_RAISE)]
    in_a_row: Annotated[int, Interval(ge=1, le=LONGEST_ROW), Whole(), Doc(_ROW)]
    top_bpm: Annotated[_Tempo, Doc(f"{_TEMPO}, such as {OFFERED.top_bpm:g}")]
    tries: Annotated[int, Interval(ge=1, le=MOST_TRIES), Whole(), Doc(_TRIES)]
    performing_bpm: NotRequired[Annotated[_Tempo | None, Doc(f"{_TEMPO}, such as 66, or left out")]]


def rule_from_json(written: Mapping[str, Any], names: Names | None = None) -> Rule:
    """The rule, checked, by its fields' names, or by those that a form gives them. Raises FieldsError."""
    wrong = rule_mistakes(written, names)
    if wrong:
        raise FieldsError(wrong)
    first, notch, top = (round(float(written[key]), DECIMALS) for key in ("first_bpm", "raise_bpm", "top_bpm"))
    performing = written.get("performing_bpm")
    return Rule(
        Bpm(first),
        notch,
        int(written["in_a_row"]),
        Bpm(top),
        int(written["tries"]),
        None if performing is None else Bpm(round(float(performing), DECIMALS)),
    )


def rule_asked(written: Mapping[str, Any], click_bpm: Bpm | None, names: Names | None = None) -> Rule:
    """The rule of a ladder that begins at that tempo, or at the rule's own; what is left out is as usual.

    Raises ChanterdError with every mistake, or if the two tempi differ.
    """
    rule = rule_from_json(with_usual({**({} if click_bpm is None else {"first_bpm": click_bpm}), **written}), names)
    if click_bpm is not None and rule.first_bpm != click_bpm:
        raise ChanterdError(
            f"'click_bpm' is {click_bpm:g} and the ladder's 'first_bpm' is {rule.first_bpm:g}; they are one tempo, "
            f"so leave one of them out."
        )
    return rule


def with_usual(written: Mapping[str, Any]) -> dict[str, Any]:
    """The rule, what is left out being as it is offered; without a top it goes up as far."""
    usual: dict[str, Any] = {"raise_bpm": OFFERED.raise_bpm, "in_a_row": OFFERED.in_a_row, "tries": OFFERED.tries}
    first = written.get("first_bpm")
    if isinstance(first, int | float):
        usual["top_bpm"] = min(first + OFFERED.top_bpm - OFFERED.first_bpm, FASTEST_BPM)
    return {**usual, **written}


def rule_mistakes(written: Mapping[str, Any], names: Names | None = None) -> list[Mistake]:
    """Each mistake in a rule from outside; empty if there is none."""
    right, wrong = parts(RuleTable, dict(written), names)
    known = list(RuleTable.__annotations__)
    in_order = [*(key for key in wrong if key not in known), *(key for key in known if key in wrong)]
    return [*(Mistake("", key, f"The ladder's {wrong[key]}") for key in in_order), *_order_mistakes(right, names)]


def as_json(rule: Rule) -> dict[str, float | int | None]:
    """The rule by its fields' names."""
    return asdict(rule)


def _order_mistakes(right: RuleTable, names: Names | None) -> list[Mistake]:
    """Nothing may be above the top; tempi that are wrong themselves are left out."""
    top = right.get("top_bpm", FASTEST_BPM)
    tempi = {"first_bpm": right.get("first_bpm", 0.0), "performing_bpm": right.get("performing_bpm") or 0.0}
    return [
        Mistake(
            "",
            key,
            f"The ladder's {named(key, names)} is {bpm:g}, above its {named('top_bpm', names)}, which is {top:g}; "
            "it must be at most that. Is one of them a number of beats, not of clicks?",
        )
        for key, bpm in tempi.items()
        if bpm > top
    ]
