"""Simulated performances of tunes with known truth, through the real ear: for the bench, and in small for the tests."""

from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

from chanterd.config import bundled
from chanterd.hearing.chanter import DEFAULT_PROFILE, Profile, load_profiles
from chanterd.hearing.ear import Ear
from chanterd.hearing.simulated_tune import HUMAN, TuneHabits, TunePerformance, TunePlayer
from chanterd.judging.standard import find_standard, read_standards
from chanterd.music.book import standard_book
from chanterd.music.heard import Heard
from chanterd.music.score import Score
from chanterd.music.spread import standard_spread
from chanterd.music.tunes.passage import Passage, make_passage
from chanterd.music.tunes.read import read_tunes
from chanterd.music.tunes.segments import Segments
from chanterd.music.tunes.tune import Tune
from chanterd.music.units import NS_PER_MINUTE, Bpm
from chanterd.practice.tune_run import TuneRun

CONDITIONS: dict[str, TuneHabits] = {
    "clean": HUMAN,
    "wrong notes": replace(HUMAN, wrong=0.04),
    "left-out gracenotes": replace(HUMAN, missing=0.06, left_out=0.05),
    "bar begun once more": replace(HUMAN, bar_again=0.15),
    "repeat left out": replace(HUMAN, repeat_left_out=0.5),
    "stop": replace(HUMAN, stop=0.08),
    "tempo wandering 12 %": replace(HUMAN, wander=0.12),
    "pointing half as strong again": replace(HUMAN, pointing=1.5),
    "pointing half as strong": replace(HUMAN, pointing=0.5),
    "every ornament left out": replace(HUMAN, left_out=1.0),
    "crushed gracenotes": replace(HUMAN, crushed=0.2),
    "all mixed": replace(
        HUMAN,
        wrong=0.02,
        missing=0.03,
        left_out=0.03,
        crushed=0.1,
        bar_again=0.08,
        repeat_left_out=0.3,
        stop=0.04,
        wander=0.12,
        pointing=1.3,
    ),
}
"""By name; the figures are our own choice, on the bad side of what a teacher hears in a lesson."""
TEMPI = {"lamp-at-quarry-hollow": 76.0, "net-mender": 124.0, "seven-gulls": 116.0}
"""Clicks a minute of the tunes that ship."""

Pair = tuple[int, int, int]
"""Melody note, step, index of the onset."""


@dataclass(frozen=True, slots=True)
class Sample:
    """One performance and what was heard of it."""

    passage: Passage
    score: Score
    click_ns: float
    performance: TunePerformance
    heard: tuple[Heard, ...]

    @property
    def truth(self) -> set[Pair]:
        """Which onset truly was which note."""
        played = enumerate(self.performance.truth)
        return {(one.segment, one.step, index) for index, one in played if one.segment is not None}

    def run(self, *, click_off: bool = False, standard: str = "steady", tempo: float = 1.0) -> TuneRun:
        """Followed from beginning to end; ``tempo``: by how much the tempo to begin with is wrong."""
        run = self.begun(click_off=click_off, standard=standard, tempo=tempo)
        for one in self.heard:
            run.hear(one)
        return run

    def begun(self, *, click_off: bool = False, standard: str = "steady", tempo: float = 1.0) -> TuneRun:
        """The same before anything is heard."""
        strict = find_standard(standard, read_standards())
        click_bpm = Bpm(NS_PER_MINUTE / (self.click_ns * tempo))
        return TuneRun(self.passage, standard_book(), strict, standard_spread(), click_bpm, click_off)

    def pairs(self, run: TuneRun) -> set[Pair]:
        """What a run made of it."""
        events = run.follower.graph.events
        return {(events[one.place].segment, events[one.place].step, one.onset) for one in run.follower.chain()}


@cache
def shipped(name: str) -> Tune:
    """A tune that ships."""
    return read_tunes(Path(bundled("configs") / "tunes" / f"{name}.abc"))[0]


@cache
def written_pitch() -> Profile:
    """The chanter that every performance is played on."""
    return load_profiles(None)[DEFAULT_PROFILE]


def sample(name: str, habits: TuneHabits, seed: int, passage: Passage | None = None, rounds: int = 1) -> Sample:
    """One performance of a tune that ships, or of a passage of it."""
    passage = passage or make_passage(shipped(name))
    click_ns = 60e9 / TEMPI[name]
    score = Segments(passage, standard_book(), standard_spread(), click_ns).score()
    performance = TunePlayer(passage, score, click_ns, seed, habits).play(rounds)
    ear = Ear(written_pitch())
    heard = tuple(one for message, at_ns in performance.messages for one in ear.hear(message, at_ns))
    return Sample(passage, score, click_ns, performance, heard)


def f1(found: int, right: int, true: int) -> float:
    """The harmonic mean of precision and recall."""
    return 2 * right / (found + true) if found + true else 1.0
