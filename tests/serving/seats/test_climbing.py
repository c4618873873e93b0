"""Climbing a tempo ladder live: the tempi it leads to, when they come, and what the pages show."""

from typing import Any

import pytest

from chanterd.config import ChanterdError
from chanterd.serving.seats.climbing import TO_READ_NS
from tests.serving.played_seat import Sitting, rep_line

GRIP = "grip from B to C"
RULE = {"raise_bpm": 5, "in_a_row": 2, "top_bpm": 65, "tries": 1, "performing_bpm": 62}


def climb(sitting: Sitting, **rule: Any) -> dict[str, Any]:
    """Start a ladder from 60 clicks."""
    return dict(sitting.practise(GRIP, 60.0, ladder={**RULE, **rule}))


def play(sitting: Sitting, first: int, *off_ms: float | None) -> None:
    """Play reps of the run that is cued, each that many ms late (60 is not clean, None is rested), until judged."""
    cue = sitting.cue()
    for rep, off in enumerate(off_ms, first):
        if off is not None:
            sitting.play(rep_line(cue, rep, off_ms=off))
    sitting.until(cue.beat0_ns + (first + len(off_ms)) * cue.rep_ns + round(cue.rep_ns * 0.3))


def tempi(sitting: Sitting) -> list[float]:
    """The tempo of each run so far."""
    return [one["practice"]["grid"]["click_bpm"] for one in sitting.of("grid") if one["practice"]]


def test_the_whole_rule_is_shown_before_anything_sounds(sitting: Sitting) -> None:
    """The run at the first tempo carries the ladder: the rule, every rung, and where a full row and no row lead."""
    ladder = climb(sitting)["ladder"]
    assert ladder["rule"] == {**RULE, "first_bpm": 60.0}
    assert (ladder["rungs"], ladder["full_row"], ladder["no_row"]) == ([60.0, 65.0], "up to 65", "down to 55")
    assert (ladder["row"], ladder["tries_left"], ladder["move"]) == (0, 1, None)
    assert sitting.daemon.state()["seats"][0]["practice"]["ladder"] == ladder  # type: ignore[index]


def test_it_climbs_comes_down_proves_and_ends_by_itself(sitting: Sitting) -> None:
    """Two clean each at 60, 65 and 62: three runs, each announced, and then no run."""
    climb(sitting)
    for _ in range(3):
        play(sitting, 0, 0.0, 0.0)
    assert tempi(sitting) == [60.0, 65.0, 62.0]
    frames = [one["ladder"] for one in sitting.of("ladder")]
    assert [one["said"] for one in frames if one["move"]] == [
        "2 in a row. Up to 65.",
        "2 in a row. Now down to 62, the performing tempo: prove it there.",
        "Proved: 2 in a row at 62, the performing tempo.",
    ]
    assert sitting.of("grid")[-1]["practice"] is None
    assert sitting.source.cues[-1] is None
    assert sitting.daemon.state()["seats"][0]["practice"] is None


def test_a_rep_that_is_not_clean_leads_down_when_the_tries_are_used(sitting: Sitting) -> None:
    """A clean rep, a late one, and the only try is gone: down to 55."""
    climb(sitting)
    play(sitting, 0, 0.0, 60.0)
    assert tempi(sitting) == [60.0, 55.0]
    assert [one["ladder"]["row"] for one in sitting.of("ladder")] == [1, 0]


def test_a_rest_is_neither_clean_nor_a_try(sitting: Sitting) -> None:
    """Clean, rested, rested, clean: the row of two is full."""
    climb(sitting)
    play(sitting, 0, 0.0, None, None, 0.0)
    assert tempi(sitting) == [60.0, 65.0]


def test_the_new_tempo_is_counted_in_from_a_bar_line(sitting: Sitting) -> None:
    """Its first click falls on a bar line of the old grid, no sooner than the announcement can be read."""
    climb(sitting)
    play(sitting, 0, 0.0, 0.0)
    changed_ns = sitting.now_ns
    old, new = (one["practice"]["grid"] for one in sitting.of("grid"))
    first_ns = new["beat0_ns"] - new["count_in"] * 60e9 / new["click_bpm"]
    bars = (first_ns - old["beat0_ns"]) / (old["clicks_per_rep"] * 60e9 / old["click_bpm"])
    assert bars == pytest.approx(round(bars), abs=1e-6)
    assert first_ns > changed_ns + TO_READ_NS - 1_000_000_000
    assert sitting.cue().beat0_ns == new["beat0_ns"]


def test_what_is_played_while_the_tempo_changes_counts_for_nothing(sitting: Sitting) -> None:
    """The rep under way at the old tempo, however late, and notes in the count-in are judged in no run."""
    climb(sitting)
    old = sitting.cue()
    for rep in (0, 1):
        sitting.play(rep_line(old, rep))
    sitting.play(rep_line(old, 2, off_ms=60.0))
    sitting.until(sitting.cue().beat0_ns - 1)
    assert [one["rep"] for one in sitting.of("rep")] == [0, 1]
    play(sitting, 0, 0.0)
    assert [one["clean"] for one in sitting.of("rep")] == [True] * 3
    assert sitting.of("ladder")[-1]["ladder"]["row"] == 1


def test_stopping_says_so_and_leads_nowhere(sitting: Sitting) -> None:
    """The last rep is judged, the ladder is shown as stopped, and no other tempo comes."""
    climb(sitting)
    play(sitting, 0, 0.0)
    sitting.play(rep_line(sitting.cue(), 1))
    sitting.seat.end()
    assert sitting.of("ladder")[-1]["ladder"]["said"] == "The ladder was stopped."
    assert len(sitting.of("rep")) == 2
    assert sitting.of("grid")[-1]["practice"] is None
    assert tempi(sitting) == [60.0]


def test_changing_the_rule_ends_the_ladder_and_says_so(sitting: Sitting) -> None:
    """Asking for anything else while it runs: the old ladder is shown as ended, then the new one begins."""
    climb(sitting)
    play(sitting, 0, 0.0)
    climb(sitting, in_a_row=5)
    assert sitting.of("ladder")[-1]["ladder"]["said"] == "The rule was changed, so this ladder has ended."
    old, new = sitting.of("grid")[-2:]
    assert old["practice"] is None
    assert (new["practice"]["ladder"]["rule"]["in_a_row"], new["practice"]["ladder"]["row"]) == (5, 0)


def test_the_source_coming_to_its_end_stops_the_ladder(sitting: Sitting) -> None:
    """Nothing more will come: what was played is judged, and the ladder is shown as stopped."""
    climb(sitting)
    play(sitting, 0, 0.0)
    sitting.source.status("ended")
    sitting.settle()
    assert sitting.of("ladder")[-1]["ladder"]["said"] == "The ladder was stopped."
    assert sitting.of("grid")[-1]["practice"] is None


def test_every_mistake_in_a_rule_is_reported_at_once(sitting: Sitting) -> None:
    """Nothing is started, and each mistake has its line."""
    with pytest.raises(ChanterdError) as caught:
        climb(sitting, tries=0, raise_bpm=99, rungs=3)
    assert len(str(caught.value).splitlines()) == 3
    assert not sitting.of("grid")


def test_a_page_opened_later_shows_how_the_ladder_ended(sitting: Sitting) -> None:
    """Its outcome is in the state, also of one that was stopped, with what was said then."""
    climb(sitting, top_bpm=60, performing_bpm=60)
    play(sitting, 0, 0.0, 0.0)
    ended = sitting.seat.shown()["ended"]
    assert ended is not None
    assert ended["practice"]["ladder"] == sitting.of("ladder")[-1]["ladder"]
    assert sitting.of("ladder")[-1]["ladder"]["outcome"] == "proved"
    climb(sitting)
    sitting.seat.end()
    ended = sitting.seat.shown()["ended"]
    assert ended is not None
    assert ended["practice"]["ladder"]["said"] == "The ladder was stopped."  # type: ignore[index]


def test_at_its_end_the_whole_ladder_is_summed_up(sitting: Sitting) -> None:
    """Over all its tempi, and it is said that the remarks are about the last one; nothing of it is shown before."""
    climb(sitting)
    play(sitting, 0, 0.0, 0.0)
    play(sitting, 0, 60.0)
    play(sitting, 0, 0.0)
    sitting.play(rep_line(sitting.cue(), 1, off_ms=60.0))
    sitting.seat.end()
    frames = [one["ladder"]["whole"] for one in sitting.of("ladder")]
    whole = "The whole ladder: 3 of 5 clean. Usually on the beat, ± 0 ms. Most often: late (2)."
    assert [one for one in frames if one] == [f"{whole} The remarks are about the last tempo, 60."]


def test_a_ladder_of_one_tempo_needs_no_such_hint(sitting: Sitting) -> None:
    """The remarks are about all of it; and where nothing was played, nothing is said."""
    climb(sitting)
    play(sitting, 0, 0.0)
    sitting.seat.end()
    assert sitting.of("ladder")[-1]["ladder"]["whole"] == "The whole ladder: 1 of 1 clean. On the beat."
    climb(sitting)
    sitting.seat.end()
    assert sitting.of("ladder")[-1]["ladder"]["whole"] == ""
