"""The player's own hand: held against itself from one family of ornaments to another."""

from chanterd.judging.hand import APART_MS, RunPlayed, StepSize, hand_remarks, is_even, run_played, sure_sizes
from chanterd.judging.report import RepResult, rep_result
from tests.judging.followed_reps import Rep


def reps(words: str, held_ms: float, count: int = 8, quick_ms: float = 40.0) -> list[RepResult]:
    """Reps whose held steps are so long, give or take two ms, and all quick ones alike."""
    results = []
    for number in range(count):
        one = Rep(words=words, rep=number)
        kinds = [step.kind.value for step in one.segment.drill.steps[:-1]]
        near = held_ms + (-2.0, 0.0, 2.0)[number % 3]
        lengths = {index: near if kind == "held" else quick_ms for index, kind in enumerate(kinds)}
        results.append(rep_result(Rep(words=words, rep=number, length_ms=lengths).assessed(), ""))
    return results


def doubling(held_ms: float, click_bpm: float = 60.0, count: int = 8) -> RunPlayed:
    """A run of doublings with a short C of that length."""
    return run_played("doubling", click_bpm, reps("doubling from low A to C", held_ms, count))


def taorluath(held_ms: float) -> RunPlayed:
    """A run of taorluaths with low Gs of that length."""
    return run_played("taorluath", 60.0, reps("taorluath from C to low A", held_ms))


def test_a_doublings_short_c_is_held_against_a_taorluaths_low_gs() -> None:
    """Just as far apart as cannot be heard it is one hand, a little more and it is not; the sentence names both."""
    same = hand_remarks([doubling(60.0 - APART_MS), taorluath(60.0)])
    assert same["steady"][0] == "Your held notes are about 48 ms in every ornament."
    assert same["unsteady"] == []
    apart = hand_remarks([doubling(60.0 - APART_MS - 0.1), taorluath(60.0)])
    assert apart["unsteady"] == [
        "Your held notes last 60 ms in the taorluath and only 48 ms in the doubling: make them alike."
    ]
    assert apart["steady"] == ["Your gracenotes and taps are about 40 ms in every ornament."]


def test_two_runs_of_one_family_are_one() -> None:
    """Whatever the notes are: the median over both, and the surer the more there are."""
    one, two = doubling(50.0), run_played("doubling", 60.0, reps("doubling from B to D", 50.0))
    ((_, middle_ms, error_ms),) = [(s.family, s.middle_ms, s.error_ms) for s in sure_sizes([one, two], "held")]
    assert middle_ms == 50.0
    assert 0 < error_ms < sure_sizes([one], "held")[0].error_ms


def test_runs_at_another_tempo_are_not_compared() -> None:
    """Steps shrink as the tempo rises; only what was played at about the last tempo counts."""
    far = hand_remarks([doubling(30.0, click_bpm=120.0), taorluath(60.0)])
    assert far == {"steady": [], "unsteady": []}
    assert hand_remarks([doubling(60.0, click_bpm=66.0), taorluath(60.0)])["steady"] != []


def test_few_reps_say_nothing_yet() -> None:
    """Four short Cs are too few to know their size; nothing at all has nothing to say."""
    assert hand_remarks([doubling(30.0, count=4), taorluath(60.0)])["unsteady"] == []
    assert hand_remarks([]) == {"steady": [], "unsteady": []}


def test_a_difference_that_chance_would_make_is_none() -> None:
    """20 ms apart is not even, unless the two are known to 15 ms each only; one family has nothing to be even with."""
    assert is_even([StepSize("grip", 60.0, 0.0), StepSize("birl", 40.0, 0.0)]) is False
    assert is_even([StepSize("grip", 60.0, 15.0), StepSize("birl", 40.0, 15.0)]) is True
    assert is_even([StepSize("grip", 60.0, 0.0)]) is None
