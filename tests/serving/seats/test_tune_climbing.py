"""A ladder through a tune at a seat: by tempo within a passage, and wider at one tempo."""

from typing import Any

import pytest

from chanterd.config import ChanterdError
from chanterd.practice.passage.asked import TuneWords
from chanterd.serving.seats.tune_climbing import TuneClimbing
from chanterd.serving.seats.tune_playing import TunePlaying
from tests.bench.tune_performances import shipped
from tests.serving.played_seat import Sitting

TUNE = shipped("seven-gulls")
DOUBLING = 6
"""The note of a doubling on E in bar 2."""


def begin(sitting: Sitting, **words: Any) -> dict[str, Any]:
    """A ladder around the doubling."""
    asked = TuneWords(**{"click_bpm": 116.0, "ornament": DOUBLING, **words})
    return dict(sitting.daemon.play_tune(None, "seven-gulls", TUNE, asked))


def play_rounds(sitting: Sitting, count: int, *, late_ms: float = 0.0) -> None:
    """What is cued, exactly as written, that many times; every ornament late by so much."""
    activity = sitting.seat._activity
    playing = activity._playing if isinstance(activity, TuneClimbing) else activity
    assert isinstance(playing, TunePlaying)
    run, click_ns = playing.run, playing.run.click_ns
    begins = playing.shown["begins_ns"]
    for number in range(count):
        line = []
        for event in run.follower.graph.events:
            written = (event.at + number * run.score.length) * click_ns
            off = late_ms * 1e6 if run.score.segments[event.segment].ornamented else 0
            line.append((event.note, int(begins + written + event.from_beat_ns + off)))
        sitting.play(line)
    sitting.until(sitting.now_ns + int((run.score.length + 1.5) * click_ns))


def test_a_full_row_at_one_tempo_widens_the_passage(sitting: Sitting) -> None:
    """And says so; the wider passage is counted in, and is a run of its own in the history."""
    run = begin(sitting, widen={"in_a_row": 2, "to": "bar"})
    assert run["ladder"]["climbs"] == "width"
    assert [rung["words"] for rung in run["ladder"]["rungs"]] == ["the ornament in bar 2 by itself", "bar 2"]
    assert run["ladder"]["full_row"] == "on to bar 2"
    play_rounds(sitting, 2)
    rounds = sitting.of("tune round")
    assert [one["clean"] for one in rounds] == [True, True]
    assert rounds[-1]["ladder"]["said"] == "2 in a row. Wider: bar 2."
    wider = sitting.of("tune")[-1]["tune_run"]
    assert (wider["first"], wider["last"], wider["passage"], wider["going"]) == (5, 9, "bar 2", True)
    assert wider["begins_ns"] > sitting.of("tune round")[-1].get("sent_ns", 0)
    play_rounds(sitting, 2)
    last = sitting.of("tune")[-1]["tune_run"]
    assert last["going"] is False
    assert last["ladder"]["phase"] == "over"
    assert last["ladder"]["said"] == "You held bar 2 at 116: 2 in a row. Take a rest."
    assert last["ladder"]["whole"] == "The whole ladder: 4 of 4 rounds clean."
    assert not sitting.seat.busy


def test_without_a_row_it_gets_narrower(sitting: Sitting) -> None:
    """After as many tries as were set beforehand, and then no wider again."""
    run = begin(sitting, width="bar", widen={"in_a_row": 2, "tries": 2, "to": "two bars"})
    assert [rung["here"] for rung in run["ladder"]["rungs"]] == [False, True, False]
    play_rounds(sitting, 2, late_ms=120)
    said = sitting.of("tune round")[-1]["ladder"]["said"]
    assert said == "2 tries without 2 in a row. Narrower: the ornament in bar 2 by itself."
    play_rounds(sitting, 2)
    assert sitting.of("tune")[-1]["tune_run"]["ladder"]["said"].startswith("You held the ornament in bar 2 by itself")


def test_a_ladder_climbs_the_tempo_within_a_passage(sitting: Sitting) -> None:
    """The passage stays, the tempo rises; stopping says how many rounds were clean."""
    run = begin(sitting, ladder={"in_a_row": 2, "raise_bpm": 4, "top_bpm": 120})
    assert [rung["words"] for rung in run["ladder"]["rungs"]] == ["116", "120"]
    play_rounds(sitting, 2)
    faster = sitting.of("tune")[-1]["tune_run"]
    assert (faster["grid"]["click_bpm"], faster["first"], faster["last"]) == (120.0, 5, 7)
    assert faster["ladder"]["said"] == "2 in a row. Up to 120."
    sitting.seat.stop_practice()
    last = sitting.of("tune")[-1]["tune_run"]
    assert last["ladder"]["said"] == "The ladder was stopped."
    assert last["ladder"]["whole"] == "The whole ladder: 2 of 2 rounds clean."


def test_a_stage_of_the_build_up_is_what_is_played_and_judged(sitting: Sitting) -> None:
    """The G gracenote alone, where the doubling is in the tune."""
    run = begin(sitting, stage=1)
    assert (run["stage"], run["stages"], run["ornament"]) == (1, 2, DOUBLING)
    play_rounds(sitting, 2)
    frame = sitting.of("tune ornament")[-1]
    assert [step["note"] for step in frame["asked"]["steps"]] == ["high G", "E"]
    assert frame["rep"]["clean"] is True


def test_early_and_late_are_said_while_the_tune_is_played(sitting: Sitting) -> None:
    """By the click, as soon as the note after the ornament has begun."""
    begin(sitting, width="bar")
    play_rounds(sitting, 1, late_ms=120)
    frame = next(one for one in sitting.of("tune ornament") if one["note"] == DOUBLING)
    assert frame["on_beat"] is True
    assert frame["rep"]["anchor_ms"] == pytest.approx(120, abs=3)
    assert frame["rep"]["said"].startswith("Late:")


def test_a_schedule_keeps_ornaments_back_and_shows_them_together(sitting: Sitting) -> None:
    """As with the reps of a drill."""
    begin(sitting, feedback="after five")
    play_rounds(sitting, 4)
    feedback = sitting.of("tune feedback")[-1]["feedback"]
    assert feedback["withheld"] == [0, 1, 2, 3]
    sitting.seat.stop_practice()
    assert sitting.of("tune")[-1]["tune_run"]["feedback"]["withheld"] == []


def test_the_player_guesses_about_an_ornament_before_seeing_it(sitting: Sitting) -> None:
    """Where one was taken out; the answer shows it."""
    begin(sitting, feedback="say first")
    play_rounds(sitting, 1, late_ms=120)
    asked = sitting.of("tune feedback")[-1]["feedback"]
    assert (asked["ask"], asked["withheld"]) == (0, [0])
    sitting.seat.guess(0, "early")
    shown = sitting.of("tune feedback")[-1]["feedback"]
    assert (shown["ask"], shown["withheld"]) == (None, [])
    assert shown["said"] == "You said early; it was 120 ms late."


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ({"ladder": {}, "widen": {}}, "leave 'ladder' or 'widen' out"),
        ({"widen": {}, "feedback": "after five"}, "leave 'feedback' out"),
        ({"widen": {"to": "ornament"}}, "nothing wider"),
        ({"widen": {"in_a_row": 0}}, "in_a_row"),
        ({"stage": 9}, "stages 1 to 2"),
        ({"width": "line"}, "it must be one of"),
        ({"width": "bar", "feedback": "say first"}, "take out one ornament"),
        ({"ornament": 5}, "has no gracenotes"),
        ({"first": 3}, "leave 'from' and 'to' out"),
        ({"ornament": None, "stage": 1}, "which note it is on"),
    ],
)
def test_what_cannot_be_is_refused_in_a_sentence(sitting: Sitting, words: dict[str, Any], said: str) -> None:
    """Nothing begins."""
    with pytest.raises(ChanterdError, match=said):
        begin(sitting, **words)
    assert not sitting.seat.busy
