"""Following tunes on simulated performances: F1 of pairs by condition, planted faults, the own pulse, time an onset.

Beside it in the same run: parangonar's online matcher, a general-purpose score follower, on the same onsets; it gets
the true tempo and the notes as they were really gone through, repeats and restarts unfolded, which our follower has to
find out. What is printed of faults: every gracenote that truly was shorter than the standard allows, or left out,
against those that the judge names (a doubling without its first gracenote it calls a half doubling, and means that).

Run: ``python -m tests.bench.bench_tune_following [--seeds N] [--peers N]``
"""

import argparse
import time
from itertools import pairwise
from statistics import median

import numpy as np
from parangonar import TOLTWMatcher
from rich.console import Console
from rich.table import Table

from chanterd.judging.standard import find_standard, read_standards
from chanterd.music.heard import Onset
from chanterd.music.note import Note
from chanterd.music.ornament import Kind
from chanterd.music.units import NS_PER_MS
from tests.bench.tune_performances import CONDITIONS, TEMPI, Pair, Sample, f1, sample


def peer_pairs(one: Sample) -> set[Pair]:
    """What parangonar's online matcher makes of it."""
    click_s, asked = one.click_ns / 1e9, list[tuple[int, int, Note, float]]()
    through: tuple[int, int, int] | None = None
    at_s = 0.0
    before = None
    for played in one.performance.truth:
        if played.segment is None:
            continue
        key = (played.segment, played.time_through, played.step)
        if key == through or played.note is before:
            continue
        note = one.passage.tune.notes[played.segment]
        event = (*note.gracenotes, note.note)[played.step]
        asked.append((played.segment, played.step, event, at_s))
        after = 0.03 if played.step < len(note.gracenotes) else float(note.lasts) * 4 * click_s - 0.03
        at_s, through, before = at_s + max(after, 0.02), key, played.note
    score = np.array(
        [
            (at / click_s, 0.1, at / click_s, 0.1, note.midi, f"s{index}", False)
            for index, (_, _, note, at) in enumerate(asked)
        ],
        dtype=[
            *(("onset_beat", "f8"), ("duration_beat", "f8"), ("onset_quarter", "f8"), ("duration_quarter", "f8")),
            *(("pitch", "i4"), ("id", "U16"), ("is_grace", "?")),
        ],
    )
    onsets = [one for one in one.heard if isinstance(one, Onset)]
    performance = np.array(
        [(onset.at_ns / 1e9, 0.05, onset.note.midi, 64, f"p{index}") for index, onset in enumerate(onsets)],
        dtype=[("onset_sec", "f8"), ("duration_sec", "f8"), ("pitch", "i4"), ("velocity", "i4"), ("id", "U16")],
    )
    alignment = TOLTWMatcher(score, tracker_type="SLT_OLTW", init_tempo=click_s).offline(performance)
    return {
        (*asked[int(pair["score_id"][1:])][:2], int(pair["performance_id"][1:]))
        for pair in alignment
        if pair["label"] == "match"
    }


ALL_WAYS = 1_000_000
"""More than any tune has."""
Fault = tuple[int, int, int]
"""Melody note, time through, step."""


def true_faults(one: Sample) -> tuple[set[Fault], set[Fault]]:
    """The gracenotes that were too short to be heard by the standard, and those that were left out."""
    limit = find_standard("steady", read_standards())
    crushed: set[Fault] = set()
    played = one.performance.truth
    for before, after in pairwise(played):
        if before.segment is None:
            continue
        kind = one.score.segments[before.segment].drill.steps[before.step].kind
        if kind is Kind.THEME:
            continue
        if after.at_ms - before.at_ms < limit.crushed_under_ns(kind) / NS_PER_MS:
            crushed.add((before.segment, before.time_through, before.step))
    return crushed, set(one.performance.left_out)


def main() -> None:
    """Print the figures."""
    parser = argparse.ArgumentParser(description="Following tunes.")
    parser.add_argument("--seeds", type=int, default=20)
    parser.add_argument("--peers", type=int, default=3)
    asked = parser.parse_args()
    table = Table("condition", "onsets", "F1", "F1, click off", "µs an onset", "parangonar F1", "its µs")
    for name, habits in CONDITIONS.items():
        counts, off, peer = np.zeros(3, int), np.zeros(3, int), np.zeros(3, int)
        onsets, spent, peer_spent, peer_onsets = 0, list[float](), 0.0, 0
        for tune in TEMPI:
            for seed in range(asked.seeds):
                one = sample(tune, habits, seed)
                heard = sum(isinstance(what, Onset) for what in one.heard)
                run = one.run()
                ready = one.begun()
                ready.prepare(ALL_WAYS)  # as in the count-in
                began = time.perf_counter()
                for what in one.heard:
                    ready.hear(what)
                spent.append((time.perf_counter() - began) / heard * 1e6)
                onsets += heard
                truth = one.truth
                found, freely = one.pairs(run), one.pairs(one.run(click_off=True, tempo=1.15))
                counts += (len(found), len(found & truth), len(truth))
                off += (len(freely), len(freely & truth), len(truth))
                if seed < asked.peers:
                    began = time.perf_counter()
                    matched = peer_pairs(one)
                    peer_spent += time.perf_counter() - began
                    peer_onsets += heard
                    peer += (len(matched), len(matched & truth), len(truth))
        table.add_row(
            name,
            str(onsets),
            f"{f1(*map(int, counts)):.4f}",
            f"{f1(*map(int, off)):.4f}",
            f"{median(spent):.0f}",
            f"{f1(*map(int, peer)):.3f}",
            f"{peer_spent / max(peer_onsets, 1) * 1e6:.0f}",
        )
    Console().print(table)
    faults(asked.seeds)


def faults(seeds: int) -> None:
    """Print precision and recall of crushed and left-out gracenotes."""
    table = Table("condition", "fault", "true", "precision", "recall")
    for name in ("crushed gracenotes", "left-out gracenotes", "all mixed"):
        tallies = {"crushed": np.zeros(3, int), "missing step": np.zeros(3, int)}
        for tune in TEMPI:
            for seed in range(seeds):
                one = sample(tune, CONDITIONS[name], seed)
                crushed, missing = true_faults(one)
                notes = one.run().found()["notes"]
                for fault, names, true in (
                    ("crushed", ("crushed",), crushed),
                    ("missing step", ("missing step", "wrong ornament"), {(*one[:2], 0) for one in missing}),
                ):
                    found = {
                        (note["note"], note["pass"], step)
                        for note in notes
                        if (ornament := note["ornament"]) is not None
                        for named in ornament["faults"]
                        if named["fault"] in names
                        for step in (
                            [named["step"]] if named["step"] is not None else range(len(ornament["gracenotes"]))
                        )
                        if step < len(ornament["gracenotes"])
                    }
                    if fault == "missing step":  # what is left out melts its neighbours: an ornament counts once
                        found = {(*one[:2], 0) for one in found}
                    tallies[fault] += (len(found), len(found & true), len(true))
        for fault, (found_, right, true_) in tallies.items():
            if true_:
                table.add_row(name, fault, str(true_), f"{right / max(found_, 1):.3f}", f"{right / true_:.3f}")
    Console().print(table)


if __name__ == "__main__":
    main()
