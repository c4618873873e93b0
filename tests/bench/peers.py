"""General-purpose aligners on the same events: the asked notes of the whole run against the onsets of the whole take.

All get what our follower gets, less the onsets that the ear marked as bounces, and are asked only for what can sound.
parangonar's online matcher gets the true tempo. Each returns pairs as in ``performances``.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from parangonar import DualDTWNoteMatcher, TOLTWMatcher
from rapidfuzz.distance import Levenshtein

from chanterd.music.note import Note
from chanterd.music.segment import make_segment
from tests.bench.performances import Pair, Performance

NOTE_S = 0.05


@dataclass(frozen=True, slots=True)
class Task:
    """What is to be played and what was heard, as a peer sees it: plain sequences, times in seconds from beat 0."""

    asked: list[tuple[int, int]]
    """Rep and step of each asked note."""
    asked_notes: list[Note]
    asked_s: list[float]
    heard: list[int]
    """Index of each onset."""
    heard_notes: list[Note]
    heard_s: list[float]
    click_s: float


def make_task(one: Performance) -> Task:
    """The whole run against the whole take."""
    segment = make_segment(one.drill, one.click_bpm)
    asked: list[tuple[int, int]] = []
    notes: list[Note] = []
    times: list[float] = []
    for rep in range(one.reps):
        for place, note in enumerate((one.drill.lead, *(step.note for step in one.drill.steps))):
            if not notes or notes[-1] is not note:
                asked.append((rep, place - 1))
                notes.append(note)
                times.append((rep * segment.lasts_ns + segment.offsets_ns[place]) / 1e9)
    onsets = [(index, onset) for index, onset in enumerate(one.onsets) if not onset.bounce]
    return Task(
        asked=asked,
        asked_notes=notes,
        asked_s=times,
        heard=[index for index, _ in onsets],
        heard_notes=[onset.note for _, onset in onsets],
        heard_s=[(onset.at_ns - one.grid.beat0_ns) / 1e9 for _, onset in onsets],
        click_s=60.0 / one.click_bpm,
    )


def rapidfuzz_pairs(task: Task) -> set[Pair]:
    """Edit distance on the note names: what is equal or replaced is paired."""
    opcodes = Levenshtein.opcodes(bytes(task.asked_notes), bytes(task.heard_notes))
    return {
        (*task.asked[code.src_start + ahead], task.heard[code.dest_start + ahead])
        for code in opcodes
        if code.tag in ("equal", "replace")
        for ahead in range(code.src_end - code.src_start)
    }


def note_arrays(task: Task) -> tuple[Any, Any]:
    """The structured arrays of asked and heard notes that parangonar wants."""
    score = np.array(
        [
            (at / task.click_s, 0.1, at / task.click_s, 0.1, note.midi, f"s{index}", False)
            for index, (note, at) in enumerate(zip(task.asked_notes, task.asked_s, strict=True))
        ],
        dtype=[
            ("onset_beat", "f8"),
            ("duration_beat", "f8"),
            ("onset_quarter", "f8"),
            ("duration_quarter", "f8"),
            ("pitch", "i4"),
            ("id", "U16"),
            ("is_grace", "?"),
        ],
    )
    played = np.array(
        [
            (at, NOTE_S, note.midi, 64, f"p{index}")
            for index, (note, at) in enumerate(zip(task.heard_notes, task.heard_s, strict=True))
        ],
        dtype=[("onset_sec", "f8"), ("duration_sec", "f8"), ("pitch", "i4"), ("velocity", "i4"), ("id", "U16")],
    )
    return score, played


def _matched(task: Task, alignment: list[dict[str, Any]]) -> set[Pair]:
    return {
        (*task.asked[int(one["score_id"][1:])], task.heard[int(one["performance_id"][1:])])
        for one in alignment
        if one["label"] == "match"
    }


def parangonar_offline_pairs(task: Task) -> set[Pair]:
    """Two dynamic time warpings over the whole take, then a note matching."""
    return _matched(task, DualDTWNoteMatcher()(*note_arrays(task), process_ornaments=False))


def parangonar_online_pairs(task: Task) -> set[Pair]:
    """An online warping that follows the tempo, note by note."""
    score, played = note_arrays(task)
    return _matched(task, TOLTWMatcher(score, tracker_type="SLT_OLTW", init_tempo=task.click_s).offline(played))


PEERS: dict[str, Callable[[Task], set[Pair]]] = {
    "rapidfuzz": rapidfuzz_pairs,
    "parangonar offline": parangonar_offline_pairs,
    "parangonar online": parangonar_online_pairs,
}
