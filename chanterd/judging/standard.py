"""Standards: what is asked of a player, one file each in ``configs/standards/``. Every limit names its source there."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Annotated, NotRequired

from annotated_types import Interval
from typing_extensions import TypedDict

from chanterd.config import bundled, find
from chanterd.judging.limit import HEARD, Limit
from chanterd.music.ornament import Kind
from chanterd.music.segment import Segment
from chanterd.music.units import NS_PER_MINUTE, NS_PER_MS, Ms
from chanterd.table_file import TableFile, load, read_one
from chanterd.values import Sentence, Title, table

DEFAULT = "steady"
DEFAULT_FILE = bundled("configs") / "standards" / f"{DEFAULT}.toml"

FINE_MS = 60.0
"""A gracenote of this length is right at any tempo (common practice, no source)."""

LONG_TIMES = 2
"""A step that is written long lasts as long as this many of the shortest held ones, or longer (common practice, no
source)."""

HEARD_BETWEEN_STEPS_MS = 2 * HEARD.within_ms
"""Two lengths side by side differ by twice what the note between them is out of place."""


@dataclass(frozen=True, slots=True)
class TimesOver:
    """The longest time allowed: in ms, or as a multiple of what is asked, whichever is more."""

    over: float
    times_asked: float


@dataclass(frozen=True, slots=True)
class Standard:
    """The limits of one standard; a rep within all of them is clean."""

    name: str
    said: str
    beat: Limit
    """How far from the click the step on the beat may be, to either side; a share of the click."""
    quick_under_ms: Ms
    held_under_ms: Ms
    too_long: TimesOver
    """How long a gracenote or tap may last: in ms, or as a multiple of what is asked of it, whichever is more."""
    too_slow: TimesOver
    """The same of the ornament as a whole, in clicks instead of ms."""
    uneven_over_ms: Ms
    """Steps of one kind are uneven if the longest is longer than the shortest by more than this …"""
    uneven_times_over: float
    """… and also more than this many times as long."""
    wound_up: Limit
    """How much too long the note before may be, a share of its own time up to the beat."""
    cut_short: Limit
    """How much too short the note on either side may be, a share of its own time."""
    paused: Limit
    """How much too long the note after may be, a share of its own time from the beat."""
    extra_over_ms: Ms
    """How long an extra note may last."""
    crossing_over_ms: Ms

    def beat_within_ns(self, click_ns: float) -> float:
        """How far from the click the step on the beat may be, to either side."""
        return self.beat.of(click_ns)

    def on_beat_ms(self, click_bpm: float) -> float:
        """The same at a tempo, as it is shown."""
        return round(self.beat_within_ns(NS_PER_MINUTE / click_bpm) / NS_PER_MS, 1)

    def crushed_under_ns(self, kind: Kind, *, long: bool = False) -> float:
        """The length below which a step of that kind is crushed; ``long``: one that is written long."""
        least = self.quick_under_ms if kind is Kind.QUICK else self.held_under_ms
        return (LONG_TIMES if long else 1) * least * NS_PER_MS

    def quick_over_ns(self, asked_ns: float) -> float:
        """The length beyond which a gracenote or tap is too long; ``asked_ns`` is what its segment asks of it."""
        return max(self.too_long.over * NS_PER_MS, self.too_long.times_asked * asked_ns)

    def too_slow_over_ns(self, segment: Segment) -> float:
        """The length beyond which the whole ornament is too slow for the tempo."""
        click_ns = min(NS_PER_MINUTE / segment.click_bpm, segment.lasts_ns / 2)
        asked_ns = sum(segment.lengths_ns[1:-1])
        return max(self.too_slow.over * click_ns, self.too_slow.times_asked * asked_ns)


@table
class BeatTable(TypedDict):
    """How far off the click the step on the beat may be. The lowest limits allowed are what can be heard at all."""

    within_ms: Annotated[float, Interval(ge=HEARD.within_ms, le=300)]
    within_of_click: Annotated[float, Interval(ge=HEARD.share, le=0.5)]


@table
class CrushedTable(TypedDict):
    """How short steps may be."""

    quick_under_ms: Annotated[float, Interval(ge=3, le=100)]
    held_under_ms: Annotated[float, Interval(ge=3, le=100)]


@table
class TooLongTable(TypedDict):
    """How long a gracenote or tap may be."""

    quick_over_ms: Annotated[float, Interval(ge=FINE_MS, le=500)]
    times_asked: Annotated[float, Interval(ge=1.2, le=10)]


@table
class TooSlowTable(TypedDict):
    """How long the ornament as a whole may be."""

    over_of_click: Annotated[float, Interval(ge=0.3, le=2)]
    times_asked: Annotated[float, Interval(ge=1.2, le=10)]


@table
class UnevenTable(TypedDict):
    """How much steps of one kind may differ."""

    differ_over_ms: Annotated[float, Interval(ge=HEARD_BETWEEN_STEPS_MS, le=300)]
    times_over: Annotated[float, Interval(ge=1.1, le=10)]


@table
class NoteTable(TypedDict):
    """How much too long or too short a note may be."""

    over_ms: Annotated[float, Interval(ge=HEARD.within_ms, le=500)]
    over_of_note: Annotated[float, Interval(ge=HEARD.share, le=0.9)]


@table
class SoundTable(TypedDict):
    """How long a sound may be that does not belong there."""

    over_ms: Annotated[float, Interval(ge=3, le=200)]


StandardTable = TypedDict(
    "StandardTable",
    {
        "name": Title,
        "said": Sentence,
        "beat": NotRequired[BeatTable],
        "crushed": NotRequired[CrushedTable],
        "too long": NotRequired[TooLongTable],
        "too slow": NotRequired[TooSlowTable],
        "uneven": NotRequired[UnevenTable],
        "wound up": NotRequired[NoteTable],
        "cut short": NotRequired[NoteTable],
        "paused": NotRequired[NoteTable],
        "extra note": NotRequired[SoundTable],
        "crossing": NotRequired[SoundTable],
    },
)
"""A file; a table that it leaves out is as in the default one."""
table(StandardTable)


def read_standards(folder: Path | None = None) -> dict[str, Standard]:
    """The standards that ship, then those in the data folder, by name. Raises ConfigError with every mistake."""
    usual = read_one(DEFAULT_FILE, StandardTable)

    def read(file: TableFile) -> Iterator[tuple[str, Standard]]:
        found = file.checked(StandardTable)
        if found is not None:
            yield found["name"], _standard({**usual, **found})

    return load("standards", folder, read)


@cache
def usual_standard() -> Standard:
    """The one that ships as the usual one."""
    return read_standards()[DEFAULT]


def _standard(tables: StandardTable) -> Standard:
    return Standard(
        name=tables["name"],
        said=tables["said"],
        beat=Limit(Ms(tables["beat"]["within_ms"]), tables["beat"]["within_of_click"]),
        quick_under_ms=Ms(tables["crushed"]["quick_under_ms"]),
        held_under_ms=Ms(tables["crushed"]["held_under_ms"]),
        too_long=TimesOver(tables["too long"]["quick_over_ms"], tables["too long"]["times_asked"]),
        too_slow=TimesOver(tables["too slow"]["over_of_click"], tables["too slow"]["times_asked"]),
        uneven_over_ms=Ms(tables["uneven"]["differ_over_ms"]),
        uneven_times_over=tables["uneven"]["times_over"],
        wound_up=_limit(tables["wound up"]),
        cut_short=_limit(tables["cut short"]),
        paused=_limit(tables["paused"]),
        extra_over_ms=Ms(tables["extra note"]["over_ms"]),
        crossing_over_ms=Ms(tables["crossing"]["over_ms"]),
    )


def _limit(note: NoteTable) -> Limit:
    return Limit(Ms(note["over_ms"]), note["over_of_note"])


def standard_of(name: str, standards: Mapping[str, Standard]) -> Standard:
    """The standard that a run of the history was judged by; the usual one if there is none of that name any more."""
    return standards.get(name) or standards[DEFAULT]


def find_standard(name: str, standards: dict[str, Standard]) -> Standard:
    """The standard of that name. Raises ChanterdError with a guess at the one you mean."""
    return find("standard", name, standards)
