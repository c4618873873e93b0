"""Takes out of the history."""

from pathlib import Path

import pytest

from chanterd.config import ChanterdError
from chanterd.hearing.take import parse_take
from chanterd.hearing.track import TrackWriter
from chanterd.history.ledger import Ledger
from chanterd.history.record import RepsClosed
from chanterd.history.store import Store
from chanterd.history.takes import take_of
from tests.history.practised_runs import GRIP, begun, closed, judged, played, practise, somebody

OFFS_MS = [4.0, 5.0]


def test_the_parts_of_a_take_are_one_file(store: Store) -> None:
    """Every message that was written, at its time, in the run's tempo."""
    messages, track = played(GRIP, OFFS_MS), TrackWriter(60.0)
    run, ledger = begun(somebody(store)), Ledger(store)
    for number, result in enumerate(judged(GRIP, OFFS_MS)):
        for message, at_ns in messages[9 * number : 9 * (number + 1)]:
            track.add(message, at_ns)
        written = ledger.write(closed(run, [result], track.part()))
    with store.reading() as connection:
        take = parse_take(Path("out.mid"), take_of(connection, written))
    assert take.click_bpm == 60.0
    assert [(message.type, message.note) for message, _ in take.messages] == [
        (message.type, message.note) for message, _ in messages[:18]
    ]
    for (_, at_ns), (_, due_ns) in zip(take.messages, messages, strict=False):
        assert abs(at_ns - due_ns) <= 20_000


def test_an_imported_take_comes_back_byte_for_byte(store: Store) -> None:
    """It is somebody's file."""
    run = begun(somebody(store))
    number = Ledger(store).write(RepsClosed(run, judged(GRIP, OFFS_MS), run.wall, b"MThd and more", whole=True))
    with store.reading() as connection:
        assert take_of(connection, number) == b"MThd and more"


def test_a_take_that_is_not_there_is_reported(store: Store) -> None:
    """No such run, or a run without one."""
    number = practise(store, somebody(store), OFFS_MS)
    with store.reading() as connection:
        with pytest.raises(ChanterdError, match=f"Run {number} has no take"):
            take_of(connection, number)
        with pytest.raises(ChanterdError, match="There is no run 99"):
            take_of(connection, 99)
