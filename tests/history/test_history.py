"""The history as a daemon holds it."""

import json
from dataclasses import replace
from pathlib import Path
from queue import Queue

from sqlalchemy import select

from chanterd.hearing.ear import Ear
from chanterd.hearing.take import parse_take
from chanterd.history.history import History
from chanterd.history.queries import reps_of, runs_of
from chanterd.history.schema import runs
from chanterd.history.store import Store
from chanterd.history.takes import take_of
from chanterd.music.units import Ms, Ns
from chanterd.practice.ladder.rule import OFFERED, as_json
from chanterd.practice.run import RepEvent, make_run
from tests.history.practised_runs import GRIP, exercise, noon, played, profile, somebody

BEAT0_NS = Ns(9_000_000_000_000)


def test_a_run_that_is_recorded_can_be_read_and_heard_again(store: Store) -> None:
    """Everything about the exercise is with it, the take begins where the recording did, and times are right."""
    history = History(store, Queue[str | None]().put, noon)
    run = make_run(replace(exercise(GRIP, 72.0), ladder=OFFERED), BEAT0_NS)
    person = somebody(store)
    heard_by = ("demo", profile(), Ms(2.0))
    recording = history.record(person, run, heard_by, Ns(BEAT0_NS - 3_000_000_000))
    ear = Ear(profile())
    for message, at_ns in played(GRIP, [4.0, 5.0], 72.0):
        stamp = Ns(BEAT0_NS + at_ns)
        recording.take(message, Ns(stamp + 2_000_000))
        for heard in ear.hear(message, stamp):
            run.hear(heard)
    results = [one.result for one in run.finish() if isinstance(one, RepEvent)]
    for result in results:
        recording.rep(result)
    recording.end("stopped")
    assert history.writer.settle()
    with store.reading() as connection:
        (seen,) = runs_of(connection, person.number)
        assert (seen.click_bpm, seen.mode, seen.rule, seen.why) == (72.0, None, json.dumps(as_json(OFFERED)), "stopped")
        assert reps_of(connection, seen.run) == results
        kept = connection.execute(select(runs.c.calibration_ns, runs.c.lead_in_clicks)).one()
        assert tuple(kept) == (2_000_000, 5)  # 3 s are 3.6 clicks, so 4, and one to spare
        take = parse_take(Path("out.mid"), take_of(connection, seen.run))
    for (_, at_ns), (_, due_ns) in zip(take.messages, played(GRIP, [4.0, 5.0], 72.0), strict=True):
        assert abs(at_ns - due_ns) <= 20_000
    history.close()
