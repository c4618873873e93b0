"""The order in which the notes of a tune are played: repeats as written, of a passage as far as they are in it."""

from collections.abc import Callable

from chanterd.music.tunes.passage import Passage
from chanterd.music.tunes.unfolding import Section, notes_in, sections_of


def route(passage: Passage) -> list[int]:
    """The melody notes in the order of playing, by their indices in the tune as written."""
    return routed(passage, lambda: False)


def routed(passage: Passage, leaves_out: Callable[[], bool]) -> list[int]:
    """The same; ``leaves_out`` is called for each repeat, and says whether it is not played but for its last time."""
    notes = [[owner for owner in bar if passage.first <= owner <= passage.last] for bar in notes_in(passage.tune)]
    whole = notes_in(passage.tune)
    found: list[int] = []
    for section in sections_of(passage.tune.bars):
        bars = [*section.body, *(bar for ending in section.endings for bar in ending.bars)]
        if all(notes[bar] == whole[bar] for bar in bars):
            only_last = section.times > 1 and leaves_out()
            played = [
                bar
                for time in range(section.times if only_last else 1, section.times + 1)
                for bar in section.bars(time)
            ]
        else:
            played = _once(section, notes)
        found += [owner for bar in played for owner in notes[bar]]
    return found


def _once(section: Section, notes: list[list[int]]) -> list[int]:
    """The bars of a section of which a passage has a part only: once, with the last ending that is in it."""
    endings = [ending for ending in section.endings if any(notes[bar] for bar in ending.bars)]
    if not any(notes[bar] for bar in section.body):
        return [bar for ending in endings for bar in ending.bars]
    return [*section.body, *(endings[-1].bars if endings else ())]
