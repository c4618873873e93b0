"""What real tunes hold against the book: how much of it can be practised.

The source: counts over some thousand pipe tunes in public repositories, in ``ornament_counts.toml``. A group is known
if the book has a drill that sounds so from that note, or that is played where the group is written: a doubling that is
written in full after high A is played half.
"""

from functools import cache

import pytest

from chanterd.config import ChanterdError
from chanterd.music.book import standard_book
from chanterd.music.drill import all_drills, drill_from_words
from chanterd.music.note import Note
from chanterd.music.ways import from_to
from tests.outside.counts import Counted, Group, read_counts

COUNTS = read_counts()
FEWEST = {"one": 0.992, "two or more": 0.985}


def melted(notes: tuple[Note, ...]) -> tuple[Note, ...]:
    """What is heard of notes in a row: equal neighbours are one."""
    return tuple(note for index, note in enumerate(notes) if index == 0 or note != notes[index - 1])


@cache
def heard() -> frozenset[tuple[Note, ...]]:
    """What each drill of the book sounds like, the note before first."""
    return frozenset(melted((drill.lead, *(step.note for step in drill.steps))) for drill in all_drills())


@cache
def written_in_full() -> frozenset[tuple[Note, ...]]:
    """The note before and the spelling of ornaments that are found there, though they are played otherwise."""
    found = set()
    for ornament in standard_book().ornaments:
        for spelling in ornament.spellings:
            for theme in spelling.themes:
                for lead in (lead for lead in Note if spelling.serves(lead, theme)):
                    try:
                        drill_from_words(from_to(ornament, lead, theme))
                    except ChanterdError:
                        continue
                    found.add((lead, *spelling.on(theme)))
    return frozenset(found)


def is_known(group: Group, lead: Note) -> bool:
    """Whether it can be practised. A first gracenote that is the note before already, before others, is that note."""
    written = (lead, *group.gracenotes, group.theme)
    begun = written[0] == written[1] and len(group.gracenotes) > 1
    return (written[1:] if begun else written) in heard() or written in written_in_full()


def newly_known(row: Counted) -> int:
    """How many of a row that was not found the book knows now."""
    return sum(count for lead, count in row.leads.items() if all(is_known(group, lead) for group in row.groups))


@pytest.mark.parametrize("size", FEWEST)
def test_the_book_knows_what_real_tunes_hold(size: str) -> None:
    """At least 99.2 % of single gracenotes, and 98.5 % of groups of two and more."""
    mended = sum(newly_known(row) for row in COUNTS.gaps if row.groups[0].size == size)
    known = COUNTS.total[size] - COUNTS.not_found[size] + mended
    assert known / COUNTS.total[size] >= FEWEST[size], f"{known} of {COUNTS.total[size]}"


def test_the_sixty_most_frequent_are_known_from_their_notes() -> None:
    """From every note that counts for a fiftieth of the group or more; what is rarer is mostly slips."""
    unknown = [
        ("".join(note.abc for note in row.groups[0].gracenotes), row.groups[0].theme.abc, lead.abc, count)
        for row in COUNTS.frequent
        for lead, count in row.leads.items()
        if not is_known(row.groups[0], lead) and count >= 0.02 * sum(row.leads.values())
    ]
    assert unknown == []
