"""Judged reps as text for a terminal: the verdict on each, then a column a step with how far off and how long it was.

Conventions: whole ms, + = late; reps are counted from 1 here, as people count. No line breaks within a word.
"""

import textwrap
from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import Literal

from chanterd.judging.report import LeadResult, RepResult, StepResult
from chanterd.judging.summary import Summary
from chanterd.judging.teacher import Remarks
from chanterd.music.drill import Drill

LEGEND = (
    "off: ms late (+) or early (-); none: not played; -: merged with the note before. "
    "long: length in ms. *: the step on the beat."
)
LABEL_WIDTH = 7
COLUMN_WIDTH = 6
"""A step's column: five characters and a blank. The longest ornaments of the great music still fit 80 columns."""
WITHOUT_ONSET = {"missing": "none", "merged": "-"}

REMARKS: dict[Literal["steady", "unsteady", "open"], str] = {
    "unsteady": "Not steady",
    "steady": "Steady",
    "open": "Not known yet",
}
"""What each part of the remarks is called, in the order in which they are read."""

Played = LeadResult | StepResult


def printed(sequence: Sequence[Drill], reps: Sequence[RepResult], summary: Summary, width: int) -> Iterator[str]:
    """The whole take, line by line, for a terminal ``width`` columns wide; more only if a row of steps needs it.

    ``sequence`` are the drills of the reps in turn, over and over; where they differ, each rep has its own head.
    """
    yield from _wrapped("", LEGEND, width)
    if len(sequence) == 1:
        yield ""
        yield from _head(sequence[0], "rep")
    advised: set[str] = set()
    for skipped, group in groupby(reps, key=lambda rep: rep["skipped"]):
        if skipped:
            numbers = [rep["rep"] + 1 for rep in group]
            span = f"{numbers[0]}-{numbers[-1]}" if len(numbers) > 1 else str(numbers[0])
            yield f"{span:>3}  Not played."
        else:
            for rep in group:
                if len(sequence) > 1:
                    drill = sequence[rep["rep"] % len(sequence)]
                    yield from ("", f"{drill.words}:", *_head(drill, ""))
                yield from _rep(rep, width, advised)
    yield ""
    yield from _summary(summary, width)
    yield from _remarks(summary["remarks"], width)


def _head(drill: Drill, label: str) -> Iterator[str]:
    """The names of the notes, a column each."""
    names = [note.rpartition(" ") for note in _names(drill)]
    yield _row("", [octave for octave, _, _ in names])
    yield _row(label, [letter for _, _, letter in names])


def _names(drill: Drill) -> list[str]:
    steps = [step.note.words + "*" * (number == drill.beat_step) for number, step in enumerate(drill.steps)]
    return [drill.lead.words, *steps]


def _row(label: str, cells: Sequence[str]) -> str:
    return f"{label:<{LABEL_WIDTH}}{''.join(f'{cell:>{COLUMN_WIDTH}}' for cell in cells)}".rstrip()


def _rep(rep: RepResult, width: int, advised: set[str]) -> Iterator[str]:
    """The verdict, what to do about it unless that has been ``advised`` above, then the figures under their notes."""
    said = " ".join(fault["said"] for fault in rep["faults"]) or rep["said"]
    yield from _wrapped(f"{rep['rep'] + 1:>3}  ", said, width)
    if rep["faults"] and rep["faults"][0]["do"] not in advised:
        advised.add(rep["faults"][0]["do"])
        yield from _wrapped("     ", rep["faults"][0]["do"], width)
    played: list[Played] = [rep["lead"], *rep["steps"]]
    yield _row("  off", [_off(one) for one in played])
    yield _row("  long", [_long(one) for one in played])
    lead = rep["lead"]
    besides = [f"{lead['played_note']} as the note before"] if "played_note" in lead else []
    besides += [
        f"{extra['note']}{_for_ms(extra['length_ms'])} ({extra['extra']})"
        for extra in rep["extras"]
        if extra["extra"] != "extra note"  # each of those is a fault, and so are wrong steps: they are in the verdict
    ]
    if besides:
        yield from _wrapped("  also heard: ", ", ".join(besides), width)


def _off(step: Played) -> str:
    if step["deviation_ms"] is None:
        return WITHOUT_ONSET[step["state"]]
    whole = round(step["deviation_ms"])
    return f"{whole:+d}" if whole else "0"


def _long(step: Played) -> str:
    return "" if step["length_ms"] is None else str(round(step["length_ms"]))


def _for_ms(length_ms: float | None) -> str:
    return "" if length_ms is None else f" for {round(length_ms)} ms"


def _summary(summary: Summary, width: int) -> Iterator[str]:
    count, beat = summary["played"], summary["beat"]
    if not count:
        yield "No rep was played."
        return
    row = f", {summary['longest_row']} in a row at best" if summary["clean"] else ""
    yield f"{summary['clean']} of {count} clean{row}."
    if beat["median_ms"] is not None:
        whole = round(beat["median_ms"])
        where = f"{abs(whole)} ms {'late' if whole > 0 else 'early'}" if whole else "0 ms off"
        wide = "" if beat["spread_ms"] is None else f", give or take {beat['spread_ms']:.0f} ms"
        yield from _wrapped("On the beat: ", f"usually {where}{wide}.", width)
    counts = [f"{fault} in {times}" for fault, times in summary["faults"].items()]
    if counts:
        yield from _wrapped("Reps with faults: ", ", ".join(counts) + ".", width)


def _remarks(remarks: Remarks, width: int) -> Iterator[str]:
    """As a teacher would write them."""
    for name, called in REMARKS.items():
        if remarks[name]:
            yield from _wrapped(f"{called}: ", " ".join(remarks[name]), width)
    if remarks["next"] is not None:
        yield from _wrapped("", remarks["next"]["said"], width)


def _wrapped(start: str, text: str, width: int) -> list[str]:
    """The text after its start, every further line as far in; words stay whole even where they stick out."""
    room = max(width, 2 * len(start))
    if text and len(start) + len(text) <= room:
        return [start + text]  # as most verdicts do; breaking lines is slow, and an hour has thousands
    return textwrap.wrap(
        text,
        room,
        initial_indent=start,
        subsequent_indent=" " * len(start),
        break_long_words=False,
        break_on_hyphens=False,
    )
