"""The numbers of a proposal: ``configs/proposal.toml``, and what a teacher changed of them in the data folder."""

from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from chanterd.config import ChanterdError, Complaints, bundled, read_toml
from chanterd.music.book import standard_book
from chanterd.music.drill import Drill, drill_from_words
from chanterd.music.grid import FASTEST_BPM, SLOWEST_BPM
from chanterd.music.ornament import Book

FILE = "proposal.toml"
_TEMPO = (SLOWEST_BPM, FASTEST_BPM)
_LIMITS: dict[str, dict[str, tuple[float, float]]] = {
    "lines": {"most": (1, 20), "weak": (0, 20), "new": (0, 20), "first": (1, 20)},
    "judged": {
        "fewest_reps": (1, 1000),
        "weak_below": (0, 1),
        "build_below": (0, 1),
        "steady_from": (0, 1),
        "in_a_row": (1, 100),
    },
    "rest": {"first_days": (1, 365), "growth": (1, 10), "longest_days": (1, 365)},
    "warm": {"good_days": (1, 1000), "after_days": (1, 365)},
    "tempo": {"start": _TEMPO, "notch": (0, 50), "aim": _TEMPO},
    "minutes": {"weak": (1, 30), "due": (1, 30), "warm": (1, 30), "new": (1, 30)},
    "refused": {"week_days": (1, 365)},
}
"""Each table's numbers, and between which each must be."""


@dataclass(frozen=True, slots=True)
class ProposalRule:
    """The numbers of ``configs/proposal.toml``, which says what each of them means."""

    most: int
    weak_lines: int
    new_lines: int
    first_lines: int
    fewest_reps: int
    weak_below: float
    build_below: float
    steady_from: float
    in_a_row: int
    first_days: float
    growth: float
    longest_days: float
    good_days: int
    after_days: int
    start_bpm: float
    notch_bpm: float
    aim_bpm: float
    weak_minutes: float
    due_minutes: float
    warm_minutes: float
    new_minutes: float
    week_days: int
    order: tuple[Drill, ...]
    """What is new to a player, in the order in which it is proposed."""


def read_proposal_rule(book: Book, folder: Path | None = None) -> ProposalRule:
    """The shipped table with what a ``proposal.toml`` in the folder changes of it.

    Raises ConfigError with everything that is wrong with it.
    """
    shipped = bundled("configs") / FILE
    own = None if folder is None or not (folder / FILE).exists() else folder / FILE
    defaults, tables = read_toml(shipped), {} if own is None else read_toml(own)
    complaints = Complaints(own or shipped)
    complaints.unknown_keys("file", tables, (*_LIMITS, "new"))
    found: dict[str, dict[str, float]] = {}
    for name, limits in _LIMITS.items():
        table = complaints.take_table("file", tables, name)
        complaints.unknown_keys(name, table, tuple(limits))
        found[name] = {
            key: complaints.take_number(name, table, key, low, high, defaults[name][key])
            for key, (low, high) in limits.items()
        }
    new = complaints.take_table("file", tables, "new")
    complaints.unknown_keys("new", new, ("order",))
    if "order" in new:
        order = _drills(complaints, complaints.take_texts("new", new, "order"), book)
    else:  # what a teacher's own book no longer has is left out
        order = _drills(Complaints(shipped), defaults["new"]["order"], book)
    complaints.raise_if_any()
    return _rule(found, order)


def _drills(complaints: Complaints, words: list[str], book: Book) -> tuple[Drill, ...]:
    """The drills of the order, each once; what the book has not is complained of."""
    drills: dict[str, Drill] = {}
    for one in words:
        try:
            drill = drill_from_words(one, book)
        except ChanterdError as error:
            complaints.add("new.order", str(error))
            continue
        drills[drill.words] = drill
    return tuple(drills.values())


def _rule(found: dict[str, dict[str, float]], order: tuple[Drill, ...]) -> ProposalRule:
    lines, judged, rest, warm, tempo, minutes = (
        found[name] for name in ("lines", "judged", "rest", "warm", "tempo", "minutes")
    )
    whole: dict[str, Any] = {
        "most": lines["most"],
        "weak_lines": lines["weak"],
        "new_lines": lines["new"],
        "first_lines": lines["first"],
        "fewest_reps": judged["fewest_reps"],
        "in_a_row": judged["in_a_row"],
        "good_days": warm["good_days"],
        "after_days": warm["after_days"],
        "week_days": found["refused"]["week_days"],
    }
    return ProposalRule(
        **{name: round(value) for name, value in whole.items()},
        weak_below=judged["weak_below"],
        build_below=judged["build_below"],
        steady_from=judged["steady_from"],
        first_days=rest["first_days"],
        growth=rest["growth"],
        longest_days=rest["longest_days"],
        start_bpm=tempo["start"],
        notch_bpm=tempo["notch"],
        aim_bpm=tempo["aim"],
        weak_minutes=minutes["weak"],
        due_minutes=minutes["due"],
        warm_minutes=minutes["warm"],
        new_minutes=minutes["new"],
        order=order,
    )


@cache
def standard_proposal_rule() -> ProposalRule:
    """The shipped one, for the shipped book."""
    return read_proposal_rule(standard_book())
