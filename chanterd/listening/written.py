"""What is written where a tune was played: what a player meant there is likely what the notes say."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from chanterd.listening.passages import Passage
from chanterd.listening.tunes import KnownTune
from chanterd.music.drill import drill_from_words
from chanterd.music.ornament import Book
from chanterd.music.tunes.naming import name_ornaments
from chanterd.music.tunes.tune import Tune
from chanterd.music.units import Ns


@dataclass(frozen=True, slots=True)
class Written:
    """The ornaments of a tune, and while it was played."""

    start_ns: Ns
    end_ns: Ns
    ways: Mapping[str, Mapping[str, int]]
    """By the two notes they lead from and to, as ABC letters: drills in words, and how often."""


def written_in(passages: Sequence[Passage], tunes: Sequence[KnownTune], book: Book) -> list[Written]:
    """What is written where one of the tunes was played."""
    by_title = {one.title: one.tune for one in reversed(tunes) if one.tune is not None}
    return [
        Written(one.start_ns, one.end_ns, _ways(by_title[one.tune], book)) for one in passages if one.tune in by_title
    ]


@lru_cache(maxsize=32)
def _ways(tune: Tune, book: Book) -> Mapping[str, Mapping[str, int]]:
    ways: dict[str, Counter[str]] = {}
    for one in name_ornaments(tune, book):
        if one.drill is not None:
            drill = drill_from_words(one.drill, book)
            ways.setdefault(drill.lead.abc + drill.theme.abc, Counter())[drill.words] += 1
    return ways
