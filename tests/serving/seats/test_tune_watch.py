"""A tune that nobody chose: noticed while somebody just plays, followed, judged, and left again."""

from itertools import pairwise
from typing import Any

import pytest

from chanterd.history.tune_runs import tune_runs_of
from chanterd.listening.noticing import LEFT_NS
from chanterd.music.heard import Onset
from chanterd.music.note import Note
from chanterd.music.tunes.passage import make_passage
from chanterd.music.units import NS_PER_MS, NS_PER_S
from tests.bench.tune_performances import CONDITIONS, sample, shipped
from tests.serving.played_seat import Sitting

REST_NS = LEFT_NS + NS_PER_S


@pytest.fixture
def sitting(sitting: Sitting) -> Sitting:
    """Book and tunes have been read, as they are a second after somebody began to play."""
    sitting.daemon.unasked.prepare()
    sitting.daemon.unasked.tunes.read()
    return sitting


def play(sitting: Sitting, name: str, first: int = 0, last: int | None = None, seed: int = 1) -> None:
    """A simulated player plays a tune that ships, from any note on, and then rests."""
    heard = sample(name, CONDITIONS["clean"], seed, make_passage(shipped(name), first, last)).heard
    begin = sitting.now_ns + 100 * NS_PER_MS - heard[0].at_ns
    sitting.play([(one.note, begin + one.at_ns) for one in heard if isinstance(one, Onset) and not one.bounce])
    sitting.source.release(sitting.now_ns + 300 * NS_PER_MS)
    sitting.until(sitting.now_ns + 300 * NS_PER_MS)


@pytest.mark.parametrize("first", [0, 20])
def test_a_tune_is_noticed_from_any_start_and_followed(sitting: Sitting, first: int) -> None:
    """The page gets the tune and a cursor that goes through it, with nothing chosen."""
    play(sitting, "seven-gulls", first)
    began = sitting.of("tune")[0]["tune_run"]
    assert (began["tune"], began["title"], began["going"], began["noticed"]) == (
        "seven-gulls",
        "Seven Gulls",
        True,
        True,
    )
    assert began["grid"]["click_off"] is True
    assert began["grid"]["click_bpm"] == pytest.approx(116, rel=0.2)  # of a few pointed notes
    notes = [frame["note"] for frame in sitting.of("cursor")]
    on = [after - before in (0, 1) for before, after in pairwise(notes)]
    assert len(on) > 60
    assert sum(on) / len(on) > 0.95
    shown: dict[str, Any] = dict(sitting.seat.shown()["tune_run"] or {})
    assert shown == {**sitting.of("tune")[-1]["tune_run"], "cursor": notes[-1], "feedback": shown["feedback"]}
    assert {frame["note"] for frame in sitting.of("tune ornament")} >= {40, 42, 44}


def test_it_is_left_after_a_rest_and_what_came_of_it_is_shown_and_kept(sitting: Sitting) -> None:
    """Back to free playing, by itself."""
    play(sitting, "net-mender")
    sitting.until(sitting.now_ns + REST_NS)
    wait_for_result(sitting)
    last = sitting.of("tune")[-1]["tune_run"]
    assert last["going"] is False
    assert last["result"]["summary"]["click_bpm"] == pytest.approx(124, rel=0.05)
    assert last["result"]["places"]
    sitting.run(sitting.daemon.stop())
    with sitting.daemon.history.store.reading() as connection:
        (kept,) = tune_runs_of(connection, sitting.seat.player.number)
    assert (kept.tune, kept.heard, kept.clean) == ("net-mender", True, last["result"]["summary"]["clean"])


def test_another_tune_takes_its_place(sitting: Sitting) -> None:
    """Without a rest between the two."""
    play(sitting, "net-mender")
    play(sitting, "lamp-at-quarry-hollow")
    assert sitting.of("tune")[-1]["tune_run"]["tune"] == "lamp-at-quarry-hollow"
    assert {frame["tune_run"]["tune"] for frame in sitting.of("tune")} == {"net-mender", "lamp-at-quarry-hollow"}


def test_what_is_in_no_tune_is_free_playing(sitting: Sitting) -> None:
    """A scale up and down, over and over: it takes a tune that was noticed off again, and begins none."""
    play(sitting, "net-mender")
    scale = [*Note, *list(Note)[-2:0:-1]] * 3
    begin = sitting.now_ns + 100 * NS_PER_MS
    sitting.play([(note, begin + 400 * NS_PER_MS * place) for place, note in enumerate(scale)])
    assert sitting.of("tune")[-1]["tune_run"]["going"] is False
    assert not sitting.seat.free.tunes.following


def test_stopping_leaves_it_until_the_player_rests(sitting: Sitting) -> None:
    """The space bar takes the tune off the page; it does not come back with the next bar."""
    play(sitting, "net-mender", 0, 40)
    assert sitting.seat.free.tunes.following
    sitting.seat.stop_practice()
    assert sitting.of("tune")[-1]["tune_run"]["going"] is False
    play(sitting, "net-mender", 0, 40)
    assert not sitting.seat.free.tunes.following
    sitting.until(sitting.now_ns + REST_NS)
    play(sitting, "net-mender", 0, 40)
    assert sitting.seat.free.tunes.following


def test_a_drill_that_begins_ends_it(sitting: Sitting) -> None:
    """One thing at a time at a seat."""
    play(sitting, "net-mender")
    sitting.practise("grip from B to C", 60.0)
    assert sitting.of("tune")[-1]["tune_run"]["going"] is False
    assert sitting.seat.shown()["tune_run"] is None


def wait_for_result(sitting: Sitting) -> None:
    """It is judged beside the event loop."""
    for _ in range(500):
        if sitting.of("tune")[-1]["tune_run"]["result"] is not None:
            return
        sitting.until(sitting.now_ns + 20 * NS_PER_MS)
    raise AssertionError("It was not judged.")
