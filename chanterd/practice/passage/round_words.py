"""The one sentence about a time through a passage: the most important thing in it, or that it was clean."""

from collections.abc import Iterator, Sequence

from chanterd.following.reading import ExtraKind
from chanterd.judging.fault import RANK
from chanterd.judging.tunes.judge import said_of
from chanterd.music.tunes.passage import Passage
from chanterd.practice.tune_run import NotePlayed

LEFT = "You went back or left something out."


def round_said(passage: Passage, notes: Sequence[NotePlayed], in_a_row: int, *, broken_off: bool, left: bool) -> str:
    """What is said of a round; ``in_a_row`` is how many clean ones there are with it."""
    if broken_off:
        return f"You broke off in bar {passage.notes[notes[-1].visit.segment].bar} and began again."
    if left:
        return LEFT
    found = sorted(_wrong(passage, notes), key=lambda one: one[0])
    if found:
        return found[0][1]
    return f"Clean. {in_a_row} in a row." if in_a_row > 1 else "Clean."


def _wrong(passage: Passage, notes: Sequence[NotePlayed]) -> Iterator[tuple[int, str]]:
    """What was wrong, each with its rank; notes of the melody count as steps of an ornament do."""
    several = sum(one.judged is not None for one in notes) > 1
    for one in notes:
        written = passage.notes[one.visit.segment]
        if one.judged is not None and not one.judged.verdict.clean:
            where = f"Bar {written.bar}, {written.note.words}. " if several else ""
            yield RANK[one.judged.verdict.faults[0].fault], where + said_of(one.judged)
            continue
        the_note = f"the {written.note.words} in bar {written.bar}"
        if one.result["state"] == "missing":
            yield RANK["missing step"], f"You left out {the_note}."
        elif one.result["state"] == "wrong note":
            yield RANK["wrong note"], f"You played {one.result['played_note']} for {the_note}."
        elif one.judged is None:
            extra = next((one for one in one.extras if one.kind is ExtraKind.EXTRA_NOTE), None)
            if extra is not None:
                yield RANK["extra note"], f"Extra note before {the_note}: {extra.note.words}."
