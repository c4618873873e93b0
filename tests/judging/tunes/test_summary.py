"""A whole tune in a few figures."""

from dataclasses import replace
from typing import cast

from chanterd.hearing.simulated_tune import HUMAN, TuneHabits
from chanterd.judging.tunes.report import NoteResult
from chanterd.judging.tunes.summary import MOST_TAKEN_OUT, unlike, worst
from tests.bench.tune_performances import sample, shipped


def test_a_clean_tune_has_nothing_to_take_out() -> None:
    """And says so."""
    summary = sample("net-mender", TuneHabits(), 1).run().found()["summary"]
    assert (summary["said"], summary["take_out"], summary["alike"]) == ("Every ornament was clean.", [], [])
    assert (summary["restarts"], summary["stops"], summary["missing"]) == (0, 0, 0)


def test_what_goes_worst_and_comes_often_is_taken_out_first() -> None:
    """Five at most, each with what was wrong."""
    found = sample("lamp-at-quarry-hollow", replace(HUMAN, crushed=0.5), 2).run().found()
    out = found["summary"]["take_out"]
    assert len(out) == MOST_TAKEN_OUT
    failures = [(one["times"] - one["clean"]) ** 2 / one["times"] for one in out]
    assert failures == sorted(failures, reverse=True)
    assert found["summary"]["said"].endswith(f"Take out the {out[0]['words']} next.")


def test_restarts_and_stops_are_counted() -> None:
    """As many as there were."""
    one = sample("seven-gulls", replace(HUMAN, bar_again=0.3), 3)
    summary = one.run().found()["summary"]
    assert summary["restarts"] > 2
    stopped = sample("seven-gulls", replace(HUMAN, stop=0.3), 3).run().found()["summary"]
    assert stopped["stops"] > 2
    assert stopped["restarts"] == 0


def test_the_tempo_of_each_bar_is_what_was_played() -> None:
    """A machine keeps the click; a tempo that wanders is seen."""
    tempi = [one["click_bpm"] for one in sample("seven-gulls", TuneHabits(), 1).run().found()["summary"]["tempi"]]
    assert len(tempi) > 20
    assert max(abs(bpm - 116.0) for bpm in tempi) < 0.2
    wander = sample("seven-gulls", TuneHabits(wander=0.12), 1).run(click_off=True).found()["summary"]["tempi"]
    assert max(one["click_bpm"] for one in wander) > 122
    assert min(one["click_bpm"] for one in wander) < 110


def entry(place: int, length: float, drill: str = "doubling from low A to C") -> NoteResult:
    """A doubling of that length."""
    steps = [
        {"state": "played", "onset_ms": 0.0},
        {"state": "played", "onset_ms": length / 2},
        {"state": "played", "onset_ms": length},
    ]
    ornament = {"drill": drill, "gracenotes": ["high G"], "clean": True, "faults": [], "steps": steps, "said": ""}
    return cast("NoteResult", {"note": place, "bar": 0, "ornament": ornament})


def test_the_same_ornament_played_otherwise_elsewhere_is_named() -> None:
    """With both bars, and the beats where it comes twice in a bar; a little difference is none."""
    jig = shipped("seven-gulls")  # its notes 4, 16 and 20 are in bars 1, 3 and 4; six eighths make two beats
    bars = [jig.notes[place].bar for place in (4, 16, 20)]
    assert len(set(bars)) == 3
    count, said = unlike(jig, [entry(4, 60.0), entry(16, 122.0), entry(20, 120.0, "grip from B to C")])
    assert count == 1
    assert said == [
        f"The doubling from low A to C is half as long in bar {bars[0]} as in bar {bars[1]}: 60 ms and 122 ms."
    ]
    assert unlike(jig, [entry(4, 100.0), entry(16, 122.0)]) == (1, [])
    assert unlike(jig, [entry(4, 100.0)]) == (0, [])
    first = next(place for place, note in enumerate(jig.notes) if note.bar == 2)
    last = max(place for place, note in enumerate(jig.notes) if note.bar == 2)
    _, said = unlike(jig, [entry(first, 60.0), entry(last, 240.0)])
    assert said == ["The doubling from low A to C is shorter in bar 2, beat 1 than in bar 2, beat 2: 60 ms and 240 ms."]


def test_gracenotes_that_are_no_drill_are_spelled_out() -> None:
    """So that they can be found in the tune."""
    tune = shipped("seven-gulls")
    one = entry(1, 60.0)
    assert one["ornament"] is not None
    one["ornament"]["drill"], one["ornament"]["clean"] = None, False
    one["ornament"]["faults"] = [
        {"fault": "crushed", "step": 0, "said": "You crushed it.", "do": "Open it.", "drill": None}
    ]
    assert worst(tune, [one])[0]["words"] == f"high G before {tune.notes[1].note.words}"
