"""Counting names of ornaments that were recognised in simulated playing, and the tables of these counts."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from rich.table import Table

from chanterd.listening.found import Found
from chanterd.listening.report import MOST_OTHERS
from chanterd.music.units import NS_PER_MS
from tests.bench.free_playing import Meant, Playing

NEAR_NS = 45 * NS_PER_MS
"""A theme note that was found as near as this is the one that was meant."""
MORE, ONE = "two and more", "one gracenote"
FEWEST = 20
"""With fewer ornaments than this no share is printed."""
MOST_ROWS = 30
PARTS = (MORE, ONE, "drill", "tune")


@dataclass(slots=True)
class Score:
    """Ornaments counted so far."""

    right: int = 0
    found: int = 0
    meant: int = 0

    @property
    def precision(self) -> float:
        """The share of what was found that is right."""
        return self.right / max(1, self.found)

    @property
    def recall(self) -> float:
        """The share of what was meant that was found."""
        return self.right / max(1, self.meant)


@dataclass(slots=True)
class Scores:
    """Counts of a condition."""

    parts: dict[str, Score] = field(default_factory=dict)
    """By chapter of the book, by kind of playing, and by the number of steps."""
    slips: dict[frozenset[str], Score] = field(default_factory=dict)
    """Of ornaments of two steps and more, by what went wrong in them."""
    confused: Counter[tuple[str, str]] = field(default_factory=Counter)
    """What was meant, and what it was taken for."""


def names(one: Found) -> set[str | None]:
    """What it is said to be, the first and those as likely."""
    return {way.words for way in (*([one.way] if one.way else []), *one.others[:MOST_OTHERS])}


def compare(playing: Playing, found: Sequence[Found], scores: Scores) -> list[tuple[Meant | None, Found | None]]:
    """Count a performance; the pairs that are wrong."""
    wrong: list[tuple[Meant | None, Found | None]] = []
    left = {one.sounds[-1].onset_ns: one for one in found}
    for meant in playing.meant:
        near = min(left, key=lambda at: abs(at - meant.theme_ns), default=None)
        one = left.pop(near) if near is not None and abs(near - meant.theme_ns) <= NEAR_NS else None
        right = one is not None and bool(names(one) & {meant.drill, *meant.also})
        counted = [scores.parts.setdefault(key, Score()) for key in (meant.chapter, playing.kind, size(meant.steps))]
        if meant.steps > 1:
            counted.append(scores.slips.setdefault(meant.slips, Score()))
        for score in counted:
            score.meant += 1
            score.found += one is not None and one.way is not None
            score.right += right
        if not right:
            said = "nothing" if one is None else "notes" if one.way is None else one.way.ornament.name
            if one is not None and said == meant.ornament:
                said += " from another note"
            scores.confused[meant.ornament, said] += 1
            wrong.append((meant, one))
    for at, one in left.items():
        if one.way is None or any(since <= at <= until for since, until in playing.ignored):
            continue
        for key in (one.way.ornament.chapter, playing.kind, size(len(one.way.letters) - 1)):
            scores.parts.setdefault(key, Score()).found += 1
        scores.confused["nothing", one.way.ornament.name] += 1
        wrong.append((None, one))
    return wrong


def size(steps: int) -> str:
    """The part of the figures that it counts in."""
    return MORE if steps > 1 else ONE


def _columns(title: str, words: int, *headings: str) -> Table:
    table = Table(title=title)
    for place, heading in enumerate(headings):
        table.add_column(heading, justify="left" if place < words else "right")
    return table


def _both(score: Score) -> str:
    return f"{score.precision:.3f} / {score.recall:.3f}"


def names_table(by_condition: Mapping[str, tuple[Mapping[str, Scores], float]]) -> Table:
    """Precision and recall by condition, by how it was listened to."""
    ways = list(next(iter(by_condition.values()))[0])
    table = _columns(
        "Names of ornaments, simulated: precision / recall", 2, "condition", "part", *ways, "meant", "us an onset, live"
    )
    for name, (scores, spent) in by_condition.items():
        for part in PARTS:
            each = [scores[way].parts.get(part, Score()) for way in ways]
            table.add_row(name, part, *map(_both, each), str(each[0].meant), f"{spent:.0f}")
    return table


def families_table(scores: Mapping[str, Scores]) -> Table:
    """Precision and recall by family and condition."""
    families = sorted({part for one in scores.values() for part in one.parts} - set(PARTS))
    table = _columns("Families in recordings: precision / recall", 1, "condition", *families)
    for name, one in scores.items():
        each = [one.parts.get(family, Score()) for family in families]
        table.add_row(name, *(_both(score) if score.meant >= FEWEST else "" for score in each))
    return table


def slips_table(scores: Mapping[str, Scores]) -> Table:
    """Recall by what went wrong, over all conditions; the dearest first."""
    table = _columns("Recall by what went wrong, two steps and more", 1, "slips", "meant", "recall", "not recognised")
    added: dict[frozenset[str], Score] = {}
    for one in scores.values():
        for slips, score in one.slips.items():
            total = added.setdefault(slips, Score())
            total.meant += score.meant
            total.right += score.right
    for slips, score in sorted(added.items(), key=lambda each: each[1].right - each[1].meant)[:MOST_ROWS]:
        words = ", ".join(sorted(slips)) or "nothing"
        table.add_row(words, str(score.meant), f"{score.recall:.3f}", str(score.meant - score.right))
    return table


def confusions_table(scores: Mapping[str, Scores]) -> Table:
    """What was taken for what, the commonest first."""
    table = _columns("What was taken for what, over all conditions", 2, "meant", "taken for", "times")
    for (meant, said), count in sum((one.confused for one in scores.values()), Counter()).most_common(MOST_ROWS):
        table.add_row(meant, said, str(count))
    return table
