"""Assessing for the history: imports, and everything again."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlalchemy import select, update

from chanterd.assessing.rejudge import judge_again, keep_take
from chanterd.assessing.request import read_request
from chanterd.hearing.simulated_tune import LEARNER
from chanterd.hearing.take import write_take
from chanterd.history.ledger import Ledger
from chanterd.history.players import Player
from chanterd.history.queries import reps_of, run_of, runs_of
from chanterd.history.schema import runs, tune_runs
from chanterd.history.store import Store, open_store
from chanterd.history.takes import take_of
from chanterd.history.tune_runs import tune_run_of
from chanterd.history.wall_clock import WallTime
from chanterd.music.tunes.shelf import Shelf
from chanterd.practice.exercise import ExerciseWords
from chanterd.tables import Tables, read_tables
from tests.history.played_tunes import simulated, tune_ended
from tests.history.practised_runs import GRIP, judged, noon, played, somebody
from tests.serving.played_seat import Sitting, rep_line

OFFS_MS = [4.0, 90.0, None, 5.0]
PLAIN = ExerciseWords(GRIP)
LATER = noon(9)


@pytest.fixture
def tables(tmp_path: Path) -> Tables:
    """What ships."""
    return read_tables(tmp_path)


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    """A history with nobody in it."""
    opened = open_store(None, tmp_path)
    yield opened
    opened.close()


def imported(
    store: Store, path: Path, person: Player, tables: Tables, ended: WallTime, words: ExerciseWords = PLAIN
) -> int:
    """The run of a take that was assessed and kept."""
    request = read_request(path, words, None, tables)
    return keep_take(store, person, path.name, request, request.assessed(), ended)


def unheard(_done: int, _of: int) -> None:
    """Nobody watches."""


def test_an_imported_take_is_judged_as_assess_judges_it_and_kept_as_it_is(
    store: Store, tables: Tables, tmp_path: Path
) -> None:
    """Dated by when it was played, and it took as long as the take does."""
    path = tmp_path / "from the kitchen.mid"
    write_take(path, played(GRIP, OFFS_MS))
    person = somebody(store)
    run = imported(store, path, person, tables, noon(3))
    with store.reading() as connection:
        assert reps_of(connection, run) == judged(GRIP, OFFS_MS)
        assert take_of(connection, run) == path.read_bytes()
        (seen,) = runs_of(connection, person.number)
        assert (seen.day, seen.why, seen.click_bpm) == ("2026-04-03", "imported", 60.0)
        assert seen.until_ns == noon(3).ns
        assert seen.until_ns - seen.began_ns == pytest.approx(7.5e9, abs=0.6e9)  # four reps of two seconds each


def test_a_take_that_was_played_without_a_click_is_judged_again_as_such(
    store: Store, tables: Tables, tmp_path: Path
) -> None:
    """Ten reps that keep to a tempo of 3 % less than was asked: by their own pulse all are there, both times."""
    path = tmp_path / "a.mid"
    write_take(path, played(GRIP, [0.0] * 10, 58.2), 60.0)
    imported(store, path, somebody(store), tables, noon(), ExerciseWords(GRIP, click_off=True))
    again = judge_again(store, None, tables, Shelf(tmp_path), LATER, unheard)
    assert (again.judged, again.changed, again.left) == (1, 0, ())


def test_a_take_judged_again_by_the_same_judge_comes_out_the_same(tmp_path: Path, tables: Tables) -> None:
    """Played live, with a calibration to take off: figures within the 20 us of a take, words the same."""
    with Sitting(tmp_path) as sitting:
        sitting.seat._keep_calibration(7.5)  # type: ignore[arg-type]
        sitting.practise(GRIP, 60)
        for rep, off_ms in enumerate((4.0, 90.0, -8.0)):
            sitting.play(rep_line(sitting.cue(), rep, off_ms + 7.5))
        sitting.until(sitting.now_ns + 2_500_000_000)
        sitting.seat.end()
        store = sitting.daemon.history.store
        assert sitting.daemon.history.writer.settle()
        with store.reading() as connection:
            before = reps_of(connection, 1)
        again = judge_again(store, None, tables, Shelf(tmp_path), LATER, unheard)
        assert (again.judged, again.left) == (1, ())
        with store.reading() as connection:
            after = reps_of(connection, 1)
            seen = run_of(connection, 1)
        assert seen is not None
        assert seen.judged_ns == LATER.ns
    assert len(before) == len(after) == 3
    for old, new in zip(before, after, strict=True):
        assert (old["clean"], [fault["fault"] for fault in old["faults"]]) == (
            new["clean"], [fault["fault"] for fault in new["faults"]],
        )  # fmt: skip
        for step, other in zip([old["lead"], *old["steps"]], [new["lead"], *new["steps"]], strict=True):
            assert (step["note"], step["state"]) == (other["note"], other["state"])
            if step["onset_ms"] is not None:
                assert other["onset_ms"] == pytest.approx(step["onset_ms"], abs=0.021)


def test_another_judge_changes_what_it_sees_otherwise(store: Store, tables: Tables, tmp_path: Path) -> None:
    """Here the run's standard becomes a stricter one: what was clean no longer is; the progress is reported."""
    path = tmp_path / "a.mid"
    write_take(path, played(GRIP, [38.0, 38.0]))
    person = somebody(store)
    first = imported(store, path, person, tables, noon(), ExerciseWords(GRIP, standard="learner"))
    imported(store, path, person, tables, noon(), ExerciseWords(GRIP, standard="learner"))
    with store.writing() as connection:
        connection.execute(update(runs).where(runs.c.id == first).values(standard="competition"))
    steps_done: list[tuple[int, int]] = []
    again = judge_again(
        store, person.number, tables, Shelf(tmp_path), LATER, lambda done, of: steps_done.append((done, of))
    )
    assert (again.judged, again.changed) == (2, 1)
    assert steps_done == [(1, 2), (2, 2)]
    with store.reading() as connection:
        assert connection.scalars(select(runs.c.clean).order_by(runs.c.id)).all() == [0, 2]


def test_a_run_whose_standard_is_gone_keeps_its_results(store: Store, tables: Tables, tmp_path: Path) -> None:
    """The others are judged, and the reason is given."""
    path = tmp_path / "a.mid"
    write_take(path, played(GRIP, OFFS_MS))
    person = somebody(store)
    runs_kept = [imported(store, path, person, tables, noon()) for _ in range(2)]
    with store.writing() as connection:
        connection.execute(update(runs).where(runs.c.id == runs_kept[0]).values(standard="my own"))
    again = judge_again(store, None, tables, Shelf(tmp_path), LATER, unheard)
    assert again.judged == 1
    (said,) = again.left
    assert said.startswith(f"Run {runs_kept[0]} keeps its results: The standard 'my own' is not known.")
    with store.reading() as connection:
        assert reps_of(connection, runs_kept[0]) == judged(GRIP, OFFS_MS)


def test_runs_through_tunes_are_judged_again_too(store: Store, tables: Tables, tmp_path: Path) -> None:
    """By today's rules: a stricter standard changes them; a tune that is gone is named, and its run left as it is."""
    person, one = somebody(store), simulated(habits=LEARNER)
    ledger = Ledger(store)
    entry = tune_ended(person, one)
    same, stricter = ledger.write(entry), ledger.write(tune_ended(person, one))
    gone = ledger.write(tune_ended(person, one))
    with store.writing() as connection:
        standard = update(tune_runs).where(tune_runs.c.id == stricter).values(standard="competition")
        connection.execute(standard)
        connection.execute(update(tune_runs).where(tune_runs.c.id == gone).values(tune="gone"))
    again = judge_again(store, None, tables, Shelf(tmp_path), LATER, unheard)
    assert (again.judged, again.changed) == (2, 1)
    [said] = again.left
    assert said.startswith(f"Run tune-{gone} keeps its results: The tune 'gone' is not on the shelf.")
    with store.reading() as connection:
        clean = [tune_run_of(connection, run).clean for run in (same, stricter, gone)]
    assert clean[0] == clean[2] == entry.played["summary"]["clean"]
    assert clean[1] < clean[0]
