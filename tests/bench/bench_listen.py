"""How well ornaments and passages are recognised from onsets alone, on simulated playing with known truth.

Prints precision and recall of the names of ornaments by condition and by family: live, in a recording, and in one with
the tunes at hand; passages found as they were played; recall by what went wrong; what was taken for what. A name counts
with its way in; where the rest of an ornament sounds just like another one, that one is right too.

Run: ``python -m tests.bench.bench_listen [--onsets N] [--seed S] [--only CONDITION] [--show N]
[--hour]``
"""

import argparse
import time
from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import cache

from rich.console import Console
from rich.table import Table

from chanterd.assessing.listen import taken_apart
from chanterd.listening.found import Found
from chanterd.listening.listener import Listener
from chanterd.listening.passages import Passage
from chanterd.listening.tunes import KnownTune, known_tune
from chanterd.music.book import standard_book
from chanterd.music.units import NS_PER_MS, Ns
from tests.bench.conditions import CONDITIONS, Condition
from tests.bench.free_playing import Meant, Playing, playings, shipped_tunes
from tests.bench.listen_scores import Scores, compare, confusions_table, families_table, names_table, slips_table
from tests.bench.recordings import recording

SAME_TEMPO = 0.03
HOUR_ONSETS = 20_000
"""About what an hour of playing has."""


def live(playing: Playing) -> list[Found]:
    """All ornaments in a performance, each as it is read before what comes after it is known."""
    listener = Listener()
    found = [one for heard in playing.heard for one in listener.hear(heard)]
    return found + listener.finish(playing.heard[-1].at_ns)


def take(playing: Playing) -> Sequence[Found]:
    """All ornaments in a recording of a performance, with no tune at hand."""
    return taken_apart(playing.heard, standard_book())[0]


def take_with_tunes(playing: Playing) -> Sequence[Found]:
    """The same with the tunes at hand that ship."""
    return taken_apart(playing.heard, standard_book(), known())[0]


WAYS: dict[str, Callable[[Playing], Sequence[Found]]] = {"live": live, "take": take, "with tunes": take_with_tunes}


@cache
def known() -> tuple[KnownTune, ...]:
    """The tunes that ship."""
    return tuple(known_tune(tune.title, tune) for tune in shipped_tunes())


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


def measure(condition: Condition, onsets: int, seed: int, shown: int) -> tuple[dict[str, Scores], float]:
    """The scores of a condition by how it was listened to, and microseconds an onset while somebody plays."""
    scores = {name: Scores() for name in WAYS}
    spent = heard = 0.0
    for playing in playings(condition, onsets, seed):
        heard += playing.onsets
        for name, way in WAYS.items():
            start = time.process_time()
            found = way(playing)
            if way is live:
                spent += time.process_time() - start
            for meant, one in compare(playing, found, scores[name]):
                if way is take and shown > 0 and (meant is None or meant.steps > 1):
                    show(playing, meant, one)
                    shown -= 1
    return scores, spent * 1e6 / heard


def measure_passages(condition: Condition, recordings: int, seed: int, shown: int) -> tuple[int, int, int]:
    """How many passages were found with the right kind, drill or tune, tempo and ends; how many there were to find."""
    right = exact = of = 0
    for number in range(recordings):
        one = recording(condition, seed + number)
        _, taken, _ = taken_apart(one.heard, standard_book(), known())
        passages = [each for each in taken if each.kind != "silence"]
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
    arguments.add_argument("--onsets", type=int, default=20_000, help="onsets a condition (%(default)s)")
    arguments.add_argument("--seed", type=int, default=1)
    arguments.add_argument("--only", metavar="CONDITION")
    arguments.add_argument("--show", type=int, default=0, metavar="N", help="print the first that are wrong")
    arguments.add_argument("--recordings", type=int, default=40, help="recordings a condition (%(default)s)")
    arguments.add_argument("--hour", action="store_true", help="only an hour of playing: does it grow?")
    asked = arguments.parse_args()
    if asked.hour:
        measure_hour(asked.seed)
        return
    by_condition: dict[str, tuple[dict[str, Scores], float]] = {}
    passages = Table(title="Passages, simulated: kind, drill or tune, tempo; and both ends as well")
    for heading in ("condition", "right", "with ends", "passages"):
        passages.add_column(heading, justify="left" if heading == "condition" else "right")
    for condition in CONDITIONS:
        if asked.only not in (None, condition.name) or condition.drift != "steady":
            continue
        by_condition[condition.name] = measure(condition, asked.onsets, asked.seed, asked.show)
        right, exact, of = measure_passages(condition, asked.recordings, asked.seed, asked.show)
        passages.add_row(condition.name, f"{right / max(1, of):.4f}", f"{exact / max(1, of):.4f}", str(of))
    console = Console(width=200)
    console.print(names_table(by_condition))
    console.print(passages)
    takes = {name: scores["take"] for name, (scores, _) in by_condition.items()}
    console.print(families_table(takes))
    console.print(slips_table(takes))
    console.print(confusions_table(takes))


if __name__ == "__main__":
    main()
