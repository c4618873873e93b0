"""The numbers of a proposal: ``configs/proposal.toml``, and what a teacher changed of them in the data folder."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Annotated, Any, cast

from annotated_types import Interval, Len
from typing_extensions import TypedDict

from chanterd.config import ChanterdError, ConfigError
from chanterd.music.book import standard_book
from chanterd.music.drill import Drill, drill_from_words
from chanterd.music.grid import FASTEST_BPM, SLOWEST_BPM
from chanterd.music.ornament import Book
from chanterd.table_file import TableFile, table_files
from chanterd.values import Text, Whole, table

Share = Annotated[float, Interval(ge=0, le=1)]
Tempo = Annotated[float, Interval(ge=SLOWEST_BPM, le=FASTEST_BPM)]
Minutes = Annotated[float, Interval(ge=1, le=30)]
Days = Annotated[float, Interval(ge=1, le=365)]
WholeDays = Annotated[int, Interval(ge=1, le=365), Whole()]
Lines = Annotated[int, Interval(ge=0, le=20), Whole()]
SomeLines = Annotated[int, Interval(ge=1, le=20), Whole()]
Many = Annotated[int, Interval(ge=1, le=1000), Whole()]


@table
class LinesTable(TypedDict, total=False):
    """See ``configs/proposal.toml`` for what each number of these tables means; one left out is as there."""

    most: SomeLines
    weak: Lines
    new: Lines
    first: SomeLines


@table
class JudgedTable(TypedDict, total=False):
    """How practice is judged."""

    fewest_reps: Many
    weak_below: Share
    build_below: Share
    steady_from: Share
    in_a_row: Annotated[int, Interval(ge=1, le=100), Whole()]


@table
class RestTable(TypedDict, total=False):
    """How long a drill rests."""

    first_days: Days
    growth: Annotated[float, Interval(ge=1, le=10)]
    longest_days: Days


@table
class WarmTable(TypedDict, total=False):
    """What is old, and when it is played again."""

    good_days: Many
    after_days: WholeDays


@table
class TempoTable(TypedDict, total=False):
    """Clicks a minute."""

    start: Tempo
    notch: Annotated[float, Interval(ge=0, le=50)]
    aim: Tempo


@table
class MinutesTable(TypedDict, total=False):
    """How long a line of each kind is practised."""

    weak: Minutes
    due: Minutes
    warm: Minutes
    new: Minutes


@table
class RefusedTable(TypedDict, total=False):
    """How long a refused line stays away."""

    week_days: WholeDays


@table
class NewTable(TypedDict, total=False):
    """What is new to a player."""

    order: Annotated[list[Annotated[str, Text(200)]], Len(1, 500)]


@table
class ProposalTable(TypedDict, total=False):
    """The file."""

    lines: LinesTable
    judged: JudgedTable
    rest: RestTable
    warm: WarmTable
    tempo: TempoTable
    minutes: MinutesTable
    refused: RefusedTable
    new: NewTable


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


def read_proposal_rule(book: Book | None, folder: Path | None = None) -> ProposalRule:
    """The shipped table with what the files in the data folder change of it.

    ``book`` None: the book cannot be read, so that what is new is left open. Raises ConfigError with everything that is
    wrong.
    """
    mistakes: list[str] = []
    found: dict[str, dict[str, Any]] = {}
    order: tuple[Drill, ...] = ()
    for file in table_files("proposal", folder, mistakes):
        tables = cast("dict[str, dict[str, Any]]", file.right(ProposalTable, "file", file.content))
        if book is not None and "order" in tables.get("new", {}):
            order = tuple(_drills(file, tables["new"]["order"], book))
        found = {name: {**found.get(name, {}), **tables.get(name, {})} for name in {**found, **tables}}
        mistakes += file.lines()
    if mistakes:
        raise ConfigError("\n".join(mistakes))
    return _rule(found, order)


def _drills(file: TableFile, words: list[str], book: Book) -> Iterator[Drill]:
    """The drills of the order, each once. What a teacher's own book no longer has is left out of the shipped order."""
    seen: set[str] = set()
    for one in words:
        try:
            drill = drill_from_words(one, book)
        except ChanterdError as error:
            if file.own:
                file.add("new.order", str(error))
            continue
        if drill.words not in seen:
            seen.add(drill.words)
            yield drill


def _rule(found: dict[str, dict[str, Any]], order: tuple[Drill, ...]) -> ProposalRule:
    lines, judged, rest, warm, tempo, minutes = (
        found[name] for name in ("lines", "judged", "rest", "warm", "tempo", "minutes")
    )
    return ProposalRule(
        most=lines["most"],
        weak_lines=lines["weak"],
        new_lines=lines["new"],
        first_lines=lines["first"],
        fewest_reps=judged["fewest_reps"],
        in_a_row=judged["in_a_row"],
        good_days=warm["good_days"],
        after_days=warm["after_days"],
        week_days=found["refused"]["week_days"],
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
