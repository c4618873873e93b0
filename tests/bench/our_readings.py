"""Our own final readings as pairs, and what they look like beside the truth."""

from collections.abc import Iterator
from functools import cache

from chanterd.judging.standard import DEFAULT, Standard, find_standard, read_standards
from chanterd.music.segment import make_segment
from chanterd.music.units import Ns
from chanterd.practice.exercise import Exercise
from chanterd.practice.run import RepEvent, Run, make_run
from tests.bench.performances import Pair, Performance


@cache
def standard() -> Standard:
    """The standard that everything is judged by here."""
    return find_standard(DEFAULT, read_standards())


def final_reps(one: Performance, by: Standard) -> Iterator[RepEvent]:
    """Every rep in its final form."""
    run: Run = make_run(Exercise(one.drill, one.click_bpm, by), one.grid.beat0_ns)
    for heard in one.heard:
        run.hear(heard)
        yield from run.verdicts()
    yield from (reading for reading in run.finish() if isinstance(reading, RepEvent))


def our_pairs(one: Performance, by: Standard) -> set[Pair]:
    """What our follower paired in the end."""
    index_at = {onset.at_ns: index for index, onset in enumerate(one.onsets)}
    beat0 = one.grid.beat0_ns
    return {
        (step.rep, step.step, index_at[Ns(step.onset_ns + beat0)])
        for reading in final_reps(one, by)
        for step in reading.steps
        if step.onset_ns is not None
    }


def show(one: Performance, pairs: set[Pair], reps: int) -> Iterator[str]:
    """The first reps that we read otherwise than they were: what was asked, and each onset with both readings."""
    segment = make_segment(one.drill, one.click_bpm)
    by_index: dict[int, list[str]] = {}
    for sign, some in (("=", pairs & one.truth), ("truth", one.truth - pairs), ("ours", pairs - one.truth)):
        for rep, step, index in some:
            by_index.setdefault(index, []).append(f"{sign} {rep}:{'lead' if step < 0 else step}")
    wrong = sorted({rep for rep, _, _ in pairs ^ one.truth})[:reps]
    onsets = one.onsets
    asked = " ".join(
        f"{note.abc}@{offset / 1e6:.0f}"
        for note, offset in zip(
            (one.drill.lead, *(step.note for step in one.drill.steps)), segment.offsets_ns, strict=True
        )
    )
    yield f"{one.condition}: {one.drill.words} at {one.click_bpm:g}; asked, in ms from each lead: {asked}"
    for rep in wrong:
        start = one.grid.at(2 * rep)
        yield f"  rep {rep} (ms from its lead; click {one.grid.click_ns / 1e6:.0f} ms)"
        for index, onset in enumerate(onsets):
            if -0.6 * segment.lasts_ns <= onset.at_ns - start <= 1.6 * segment.lasts_ns:
                until = onsets[index + 1].at_ns if index + 1 < len(onsets) else onset.at_ns
                reading = "bounce" if onset.bounce else ", ".join(sorted(by_index.get(index, ["nothing"])))
                at_ms, length_ms = (onset.at_ns - start) / 1e6, (until - onset.at_ns) / 1e6
                yield f"    {at_ms:8.1f} {onset.note.abc} {length_ms:6.1f} ms  {reading}"
