"""The drills in a recording of which nothing was known, each as a take of its own: to be judged and kept like any run.

Whether there was a click is not known, so each is judged by the player's own pulse.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from chanterd.assessing.listen import HeardTake, messages_in
from chanterd.assessing.request import Request
from chanterd.hearing.take import Take
from chanterd.hearing.track import whole_take
from chanterd.listening.passages import Passage
from chanterd.music.grid import FASTEST_BPM, SLOWEST_BPM
from chanterd.music.layout import standard_layout
from chanterd.music.units import NS_PER_MINUTE, Bpm, Ns
from chanterd.practice.exercise import ExerciseWords, resolve
from chanterd.tables import Tables


@dataclass(frozen=True, slots=True)
class DrillInTake:
    """One drill of a take."""

    request: Request
    passage: Passage


def drills_in_take(take: Take, heard: HeardTake, standard: str, tables: Tables) -> Iterator[DrillInTake]:
    """The drills of a take in order of time, at tempi that can be practised.

    Raises ChanterdError if there is no standard of that name.
    """
    for passage in heard.passages:
        bpm = passage.click_bpm
        if passage.drill is None or bpm is None or passage.beat_ns is None or not SLOWEST_BPM <= bpm <= FASTEST_BPM:
            continue
        words = ExerciseWords(passage.drill, round(bpm, 1), standard, click_off=True)
        exercise = resolve(words, tables)
        click_ns = NS_PER_MINUTE / exercise.click_bpm
        beat0_ns = round(passage.beat_ns - standard_layout().first_beat * click_ns)
        messages = messages_in(take, passage, Ns(beat0_ns))
        part = replace(take, messages=messages, click_bpm=Bpm(exercise.click_bpm), tempi=())
        midi = whole_take(messages, exercise.click_bpm)
        yield DrillInTake(Request(midi, part, heard.profile, exercise), passage)
