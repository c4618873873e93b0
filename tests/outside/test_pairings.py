"""The final pairings of asked steps with onsets against mir_eval, a general-purpose reference library.

mir_eval pairs on the absolute clock and by pitch, as many notes as it can within a tolerance, and knows nothing of reps
or ornaments. So the performances are clean, simulated and seeded, and what is steadily late is taken off beforehand.
"""

from dataclasses import dataclass

import mir_eval
import numpy as np
import numpy.typing as npt
import pytest

from chanterd.assessing.assess import Assessment, assess
from chanterd.hearing.chanter import load_profiles
from chanterd.hearing.habits import Habits
from chanterd.hearing.simulated import perform
from chanterd.hearing.take import Take
from chanterd.judging.standard import DEFAULT, read_standards
from chanterd.music.drill import drill_from_words
from chanterd.music.note import Note, note_from_words
from chanterd.music.units import Bpm, Ns
from chanterd.practice.exercise import Exercise
from chanterd.practice.run import make_run
from chanterd.serving.seats.cue import cue_for

REPS = 20
TOLERANCE_S = 0.045
"""Less than half of what two equal steps of an ornament are apart at 60, so that no two could be taken for one."""
BIAS_MS = 9.0
CLEAN = Habits(bias_ms=BIAS_MS, beat_sd_ms=6.0, step_sd_ms=3.0, overlap=0.3)
NOISY = Habits(bias_ms=BIAS_MS, beat_sd_ms=5.0, step_sd_ms=2.0, bounce=0.1, skipped=0.1)

DRILLS = [
    ("grip from B to C", 60.0),
    ("grip from C to C", 60.0),
    ("grip from low G to low G", 60.0),
    ("doubling from low A to C", 66.0),
    ("taorluath from C to low A", 60.0),
    ("throw on D from low A", 72.0),
    ("birl from E", 60.0),
    ("G gracenote from C to low A", 100.0),
]


@dataclass(frozen=True, slots=True)
class Notes:
    """Notes as mir_eval takes them: seconds and Hz."""

    intervals: npt.NDArray[np.float64]
    pitches: npt.NDArray[np.float64]

    @classmethod
    def of(cls, onsets_ms: list[float], notes: list[Note]) -> "Notes":
        """Notes of equal length: where they end is not asked."""
        starts = np.array(onsets_ms) / 1000
        hz = 440.0 * 2.0 ** ((np.array([note.midi for note in notes]) - 69) / 12)
        return cls(np.column_stack([starts, starts + 0.02]), hz)


@dataclass(frozen=True, slots=True)
class Played:
    """A simulated take, and what we found in it."""

    found: Assessment
    heard_ms: list[float]
    heard: list[Note]

    def asked(self) -> tuple[list[tuple[int, int]], Notes]:
        """Every step asked in a rep that was played, if it could sound, lead -1; and when, with the bias added."""
        places, at_ms, notes = [], [], []
        for rep in self.found["reps"]:
            for step, one in enumerate([rep["lead"], *rep["steps"]], -1):
                if one["state"] != "merged" and not rep["skipped"]:
                    places.append((rep["rep"], step))
                    at_ms.append(one["expected_ms"] + BIAS_MS)
                    notes.append(note_from_words(one["note"]))
        return places, Notes.of(at_ms, notes)

    def our_pairs(self) -> set[tuple[int, int, float]]:
        """Rep, step and the onset that we say it was."""
        return {
            (rep["rep"], step, round(one["onset_ms"], 3))
            for rep in self.found["reps"]
            for step, one in enumerate([rep["lead"], *rep["steps"]], -1)
            if one["onset_ms"] is not None
        }

    def their_pairs(self) -> set[tuple[int, int, float]]:
        """Rep, step and the onset that mir_eval says it was."""
        places, asked = self.asked()
        heard = Notes.of(self.heard_ms, self.heard)
        matched = mir_eval.transcription.match_notes(
            asked.intervals,
            asked.pitches,
            heard.intervals,
            heard.pitches,
            onset_tolerance=TOLERANCE_S,
            pitch_tolerance=50.0,
            offset_ratio=None,
        )
        return {(*places[ref], round(self.heard_ms[est], 3)) for ref, est in matched}


def played(words: str, bpm: float, habits: Habits, seed: int) -> Played:
    """Simulate a take and assess it; bounces are what we say they are, so they are left out of what was heard."""
    drill = drill_from_words(words)
    standard = read_standards()[DEFAULT]
    cue = cue_for(make_run(Exercise(drill, Bpm(bpm), standard), Ns(0)))
    messages, truths = perform(cue, REPS, seed, habits)
    profile = next(iter(load_profiles(None).values()))
    found = assess(Take("simulated", messages, Bpm(bpm), ()), profile, Exercise(drill, Bpm(bpm), standard))
    onsets = [one for truth in truths for one in truth.onsets if one.extra is None]
    return Played(found, [one.at_ns / 1e6 for one in onsets], [one.note for one in onsets])


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize(("words", "bpm"), DRILLS)
def test_every_step_is_paired_as_mir_eval_pairs_it(words: str, bpm: float, seed: int) -> None:
    """mir_eval.transcription.match_notes finds the same step for every onset, rep by rep, on clean takes."""
    take = played(words, bpm, CLEAN, seed)
    assert take.our_pairs() == take.their_pairs()
    assert len(take.our_pairs()) == len(take.heard_ms)


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize(("words", "bpm"), DRILLS)
def test_bounces_and_rests_do_not_change_the_pairing(words: str, bpm: float, seed: int) -> None:
    """With a tenth of the notes sent twice and a tenth of the reps left out, the pairs are mir_eval's still."""
    take = played(words, bpm, NOISY, seed)
    assert take.our_pairs() == take.their_pairs()


@pytest.mark.parametrize(("words", "bpm"), DRILLS)
def test_after_alignment_the_onsets_are_where_they_were_written(words: str, bpm: float) -> None:
    """mir_eval.onset.f_measure of heard against asked onsets is 1 on a clean take: none too many, none too few."""
    take = played(words, bpm, CLEAN, 1)
    _, asked = take.asked()
    heard = Notes.of(take.heard_ms, take.heard)
    scores = mir_eval.onset.f_measure(asked.intervals[:, 0], heard.intervals[:, 0], window=TOLERANCE_S)
    assert scores == (1.0, 1.0, 1.0)
