"""The ornaments of a tune as a plan: what goes well warms up, then what most needs work, the worst first.

At the end they are put back into the tune (common practice, no source). Pure.
"""

from collections.abc import Sequence

from chanterd.config import ChanterdError
from chanterd.music.tunes.tune import Tune
from chanterd.music.units import Bpm
from chanterd.practice.exercise import ExerciseWords, Vocabulary, resolve
from chanterd.practice.passage.asked import TuneWords, tune_asked
from chanterd.practice.plans.part import Part
from chanterd.practice.plans.plan import BREAK_AFTER_MINUTES, BREAK_MINUTES, Plan
from chanterd.practice.proposal.mastery import Mastery, WayWork

KEY = "tune"
MINUTES = 2.0
"""Of each ornament: about fifty slow reps, common practice, no source."""
WARM_UP = "G gracenote from low A to low A"
"""What every plan of a tune begins with if nothing in it goes well yet: common practice, no source."""
ROUNDS = 2
"""Of the tune at the end: enough to hear whether what was practised is there, common practice, no source."""
IN_THE_TUNE = "Back in the tune"


def plan_of_tune(key: str, tune: Tune, work: Sequence[WayWork], slow_bpm: Bpm, known: Vocabulary) -> Plan:
    """The plan of a tune's ornaments, each at the tempo last held or at ``slow_bpm``, then of the tune itself.

    ``key`` is what the tune goes by, ``work`` has what most needs work first. The tune is played at the slowest of
    these tempi, at which the player can hold each of them. Raises ChanterdError if there is nothing to practise.
    """
    title = tune.title or key
    if not work:
        raise ChanterdError(f"'{title}' has no ornament that the book knows, so there is nothing to make a plan of.")
    steady = [one for one in work if one.mastery is Mastery.STEADY]
    warm = steady[-1:]
    rest = [one for one in work if one not in warm]
    warm_up = [_part(one, slow_bpm, known, warm_up=True) for one in warm] or [
        Part("warm-up", True, resolve(ExerciseWords(WARM_UP, slow_bpm), known), MINUTES, None)  # noqa: FBT003 - a field
    ]
    parts = [*warm_up, *(_part(one, slow_bpm, known, warm_up=False) for one in rest)]
    back = tune_asked(key, tune, TuneWords(min(_tempo(one, slow_bpm) for one in work)), known)
    parts.append(Part(IN_THE_TUNE, False, back, None, ROUNDS))  # noqa: FBT003 - a field
    return Plan(
        key=KEY,
        name=f"The ornaments of {title}",
        said="What most needs work comes first; at the end the ornaments go back into the tune.",
        parts=tuple(parts),
        break_after_minutes=BREAK_AFTER_MINUTES,
        break_minutes=BREAK_MINUTES,
    )


def _tempo(one: WayWork, slow_bpm: Bpm) -> Bpm:
    return slow_bpm if one.held_bpm is None else Bpm(one.held_bpm)


def _part(one: WayWork, slow_bpm: Bpm, known: Vocabulary, *, warm_up: bool) -> Part:
    return Part(
        title=one.drill.words,
        warm_up=warm_up,
        exercise=resolve(ExerciseWords(one.drill.words, _tempo(one, slow_bpm)), known),
        minutes=MINUTES,
        reps=None,
    )
