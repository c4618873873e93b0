"""How well ornaments and passages are recognised from onsets alone, on simulated playing with known truth.

Prints precision and recall of the names of ornaments, passages found as they were played, and what was taken for what.
A name counts with its way in; where the rest of an ornament sounds just like another one, that one is right too.

Run: ``python -m tests.bench.bench_listen [--onsets N] [--seed S] [--only CONDITION] [--show N]
[--hour]``
"""

import argparse
import time
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from rich.console import Console
from rich.table import Table

from chanterd.assessing.listen import ornaments_in, stretches_in
from chanterd.listening.found import Found
from chanterd.listening.listener import Listener
from chanterd.listening.neighbours import reconsidered
from chanterd.listening.passages import Passage, passages_of
from chanterd.listening.tunes import known_tune, melody_of, tunes_in
from chanterd.music.book import standard_book
from chanterd.music.units import NS_PER_MS, Ns
from tests.bench.conditions import CONDITIONS, Condition
from tests.bench.free_playing import Meant, Playing, playings, shipped_tunes
from tests.bench.recordings import recording

NEAR_NS = 45 * NS_PER_MS
"""A theme note that was found as near as this is the one that was meant."""


SAME_TEMPO = 0.03
HOUR_ONSETS = 20_000
"""About what an hour of playing has."""


@dataclass(slots=True)
class Score:
    """Ornaments counted so far."""

    right: int = 0
    found: int = 0
    meant: int = 0
    confused: Counter[tuple[str, str]] = field(default_factory=Counter)


def listen(playing: Playing) -> list[Found]:
    """All ornaments in a performance."""
    listener = Listener()
    found = [one for heard in playing.heard for one in listener.hear(heard)]
    return reconsidered(found + listener.finish(playing.heard[-1].at_ns))


def names(one: Found) -> set[str | None]:
    """What it is said to be, the first and those as likely."""
    return {way.words for way in (*([one.way] if one.way else []), *one.others)}


def compare(
    playing: Playing, found: Sequence[Found], scores: dict[str, Score]
) -> list[tuple[Meant | None, Found | None]]:
    """Count a performance, by part and chapter; the pairs that are wrong."""
    wrong: list[tuple[Meant | None, Found | None]] = []
    left = {one.sounds[-1].onset_ns: one for one in found}
    for meant in playing.meant:
        near = min(left, key=lambda at: abs(at - meant.theme_ns), default=None)
        one = left.pop(near) if near is not None and abs(near - meant.theme_ns) <= NEAR_NS else None
        right = one is not None and bool(names(one) & {meant.drill, *meant.also})
        for key in (meant.chapter, playing.kind, "two and more" if meant.steps > 1 else "one gracenote", "all"):
            score = scores.setdefault(key, Score())
            score.meant += 1
            score.found += one is not None and one.way is not None
            score.right += right
            if not right:
                said = "nothing" if one is None else "notes" if one.way is None else one.way.ornament.name
                score.confused[meant.ornament, said] += 1
        if not right:
            wrong.append((meant, one))
    for at, one in left.items():
        if one.way is None or any(since <= at <= until for since, until in playing.ignored):
            continue
        key = "two and more" if len(one.way.letters) > 2 else "one gracenote"
        for name in (one.way.ornament.chapter, playing.kind, key, "all"):
            scores.setdefault(name, Score()).found += 1
            scores[name].confused["nothing", one.way.ornament.name] += 1
        wrong.append((None, one))
    return wrong


def show(playing: Playing, meant: Meant | None, one: Found | None) -> None:
    """One that is wrong."""
    print(
        f"{playing.kind} {playing.words} at {playing.bpm:.0f}: {meant and (meant.drill, meant.theme_ns // NS_PER_MS)}"
    )
    if one is not None:
        sounds = " ".join(
            f"{s.note.abc}{(s.length_ns or 0) / 1e6:.0f}" for s in (*([one.lead] if one.lead else []), *one.sounds)
        )
        print(
            "   ",
            one.way and one.way.words,
            [way.words for way in one.others],
            sounds,
            f"{one.sounds[-1].onset_ns / 1e6:.0f}",
            [(c.way.words or c.way.ornament.name, round(c.price, 1)) for c in one.choices[:3]],
        )


def measure(condition: Condition, onsets: int, seed: int, shown: int) -> tuple[dict[str, Score], float]:
    """The scores of a condition, and microseconds an onset."""
    scores: dict[str, Score] = {}
    spent = heard = 0.0
    for playing in playings(condition, onsets, seed):
        start = time.process_time()
        found = listen(playing)
        spent += time.process_time() - start
        heard += playing.onsets
        for meant, one in compare(playing, found, scores):
            if shown > 0 and (meant is None or meant.steps > 1):
                show(playing, meant, one)
                shown -= 1
    return scores, spent * 1e6 / heard


def measure_passages(condition: Condition, recordings: int, seed: int, shown: int) -> tuple[int, int, int]:
    """How many passages were found with the right kind, drill or tune, tempo and ends; how many there were to find."""
    tunes = [known_tune(tune.title, tune) for tune in shipped_tunes()]
    right = exact = of = 0
    for number in range(recordings):
        one = recording(condition, seed + number)
        found = reconsidered(ornaments_in(one.heard, standard_book()))
        stretches = stretches_in(one.heard)
        melody = melody_of(one.heard, found)
        in_tunes = [each for stretch in stretches for each in tunes_in(melody, tunes, stretch)]
        passages = [each for each in passages_of(found, stretches, in_tunes) if each.kind != "silence"]
        for asked, margin in zip(one.passages, one.margins_ns, strict=True):
            of += 1
            near = max(passages, key=lambda each: shared(each, asked), default=None)
            if near is None or not same(near, asked):
                if shown > 0:
                    print(asked, near)
                    shown -= 1
                continue
            right += 1
            exact += abs(near.start_ns - asked.start_ns) <= margin and abs(near.end_ns - asked.end_ns) <= margin
    return right, exact, of


def shared(one: Passage, other: Passage) -> int:
    """How long they overlap."""
    return min(one.end_ns, other.end_ns) - max(one.start_ns, other.start_ns)


def same(found: Passage, asked: Passage) -> bool:
    """Whether it is the same kind of passage of the same thing, at a tempo within 3 %."""
    if (found.kind, found.drill, found.tune) != (asked.kind, asked.drill, asked.tune) or shared(found, asked) <= 0:
        return False
    if asked.click_bpm is None or found.click_bpm is None:
        return True
    return abs(found.click_bpm / asked.click_bpm - 1) < SAME_TEMPO


def measure_hour(seed: int) -> None:
    """An hour of playing in pieces: microseconds an onset, and what is kept, in each quarter of it."""
    listener, at, quarter, onsets, spent = Listener(), 0, 0, 0, 0.0
    for playing in playings(CONDITIONS[-2], HOUR_ONSETS + 2000, seed):
        first = playing.heard[0].at_ns
        moved = [replace(one, at_ns=Ns(one.at_ns - first + at)) for one in playing.heard]
        start = time.process_time()
        for one in moved:
            listener.hear(one)
        spent += time.process_time() - start
        onsets += playing.onsets
        at = moved[-1].at_ns + 500 * NS_PER_MS
        if onsets >= HOUR_ONSETS // 4:
            quarter += 1
            each, known = spent * 1e6 / onsets, len(listener._matcher._kept)
            print(f"quarter {quarter}: {each:.0f} us an onset, {known} runs known, {len(listener._at)} sounds kept")
            onsets, spent = 0, 0.0


def main() -> None:
    """Measure every condition and print a table."""
    arguments = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    arguments.add_argument("--onsets", type=int, default=6_000, help="onsets a condition (%(default)s)")
    arguments.add_argument("--seed", type=int, default=1)
    arguments.add_argument("--only", metavar="CONDITION")
    arguments.add_argument("--show", type=int, default=0, metavar="N", help="print the first that are wrong")
    arguments.add_argument("--recordings", type=int, default=40, help="recordings a condition (%(default)s)")
    arguments.add_argument("--hour", action="store_true", help="only an hour of playing: does it grow?")
    asked = arguments.parse_args()
    if asked.hour:
        measure_hour(asked.seed)
        return
    table = Table(title="Names of ornaments, simulated")
    for heading in ("condition", "part", "precision", "recall", "meant", "us an onset"):
        table.add_column(heading, justify="left" if heading in ("condition", "part") else "right")
    passages = Table(title="Passages, simulated: kind, drill or tune, tempo; and both ends as well")
    for heading in ("condition", "right", "with ends", "passages"):
        passages.add_column(heading, justify="left" if heading == "condition" else "right")
    confused = Counter[tuple[str, str]]()
    for condition in CONDITIONS:
        if asked.only not in (None, condition.name) or condition.drift != "steady":
            continue
        scores, spent = measure(condition, asked.onsets, asked.seed, asked.show)
        for name in ("two and more", "one gracenote", "drill", "tune"):
            score = scores.get(name, Score())
            table.add_row(
                condition.name,
                name,
                f"{score.right / max(1, score.found):.4f}",
                f"{score.right / max(1, score.meant):.4f}",
                str(score.meant),
                f"{spent:.0f}",
            )
        confused += scores["all"].confused
        right, exact, of = measure_passages(condition, asked.recordings, asked.seed, asked.show)
        passages.add_row(condition.name, f"{right / max(1, of):.4f}", f"{exact / max(1, of):.4f}", str(of))
    Console().print(table)
    Console().print(passages)
    for (meant, said), count in confused.most_common(25):
        print(f"{count:6d}  {meant} -> {said}")


if __name__ == "__main__":
    main()
