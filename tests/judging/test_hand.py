"""The player's own hand: held against itself from one family of ornaments to another."""

from chanterd.judging.hand import APART_MS, RunPlayed, hand
from chanterd.judging.report import RepResult, rep_result
from tests.judging.reps import Rep


def reps(words: str, held_ms: float, count: int = 8, quick_ms: float = 40.0) -> list[RepResult]:
    """Reps whose held steps are so long, give or take two ms, and all quick ones alike."""
    told = []
    for number in range(count):
        one = Rep(words=words, rep=number)
        kinds = [step.kind.value for step in one.timetable.drill.steps[:-1]]
        near = held_ms + (-2.0, 0.0, 2.0)[number % 3]
        lengths = {index: near if kind == "held" else quick_ms for index, kind in enumerate(kinds)}
        told.append(rep_result(Rep(words=words, rep=number, length_ms=lengths).told(), ""))
    return told


def doubling(held_ms: float, click_bpm: float = 60.0, count: int = 8) -> RunPlayed:
    """A run of doublings with a short C of that length."""
    return RunPlayed("doubling", click_bpm, reps("doubling from low A to C", held_ms, count))


def taorluath(held_ms: float) -> RunPlayed:
    """A run of taorluaths with low Gs of that length."""
    return RunPlayed("taorluath", 60.0, reps("taorluath from C to low A", held_ms))


def test_a_doublings_short_c_is_held_against_a_taorluaths_low_gs() -> None:
    """Just as far apart as cannot be heard it is one hand, a little more and it is not; the sentence names both."""
    same = hand([doubling(60.0 - APART_MS), taorluath(60.0)])
    assert same["held_same"] is True
    assert same["steady"][0] == "Your held notes are about as long in every ornament, 48 ms or so."
    apart = hand([doubling(60.0 - APART_MS - 0.1), taorluath(60.0)])
    assert apart["held_same"] is False
    assert apart["unsteady"][0] == (
        "Your held notes last 60 ms in the taorluath and only 48 ms in the doubling: make them alike."
    )
    assert apart["quick_same"] is True


def test_every_family_has_a_row_for_each_kind() -> None:
    """How many, the median, the spread, and how sure it is."""
    rows = hand([doubling(50.0), taorluath(60.0)])["rows"]
    assert [(row["family"], row["kind"], row["count"]) for row in rows] == [
        ("doubling", "held", 8),
        ("taorluath", "held", 16),
        ("doubling", "quick", 16),
        ("taorluath", "quick", 16),
    ]
    assert (rows[0]["median_ms"], rows[1]["median_ms"]) == (50.0, 60.0)
    assert rows[0]["error_ms"] is not None


def test_two_runs_of_one_family_are_one_row() -> None:
    """Whatever the notes are."""
    rows = hand([doubling(50.0), RunPlayed("doubling", 60.0, reps("doubling from B to D", 50.0))])["rows"]
    assert [(row["family"], row["kind"]) for row in rows] == [("doubling", "held"), ("doubling", "quick")]


def test_runs_at_another_tempo_are_not_compared() -> None:
    """Steps shrink as the tempo rises; only what was played at about the last tempo counts."""
    found = hand([doubling(30.0, click_bpm=120.0), taorluath(60.0)])
    assert found["held_same"] is None
    assert {row["family"] for row in found["rows"]} == {"taorluath"}
    assert hand([doubling(60.0, click_bpm=66.0), taorluath(60.0)])["held_same"] is True


def test_few_reps_say_nothing_yet() -> None:
    """Four short Cs are too few to know their size; nothing at all makes an empty table."""
    found = hand([doubling(30.0, count=4), taorluath(60.0)])
    assert found["held_same"] is None
    assert hand([]) == {"rows": [], "held_same": None, "quick_same": None, "steady": [], "unsteady": []}
