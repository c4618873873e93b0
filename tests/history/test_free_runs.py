"""Free playing in the history: written, listed, and how each ornament goes in it."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from chanterd.config import ChanterdError
from chanterd.hearing.chanter import DEFAULT_PROFILE, load_profiles
from chanterd.hearing.take import parse_take
from chanterd.history.answers import Span
from chanterd.history.free_record import FreeBegun, FreePartPlayed, FreeWay
from chanterd.history.free_runs import (
    free_by_day,
    free_run_of,
    free_runs_of,
    free_take_of,
    free_today,
    ornaments_of,
    ways_in_free,
)
from chanterd.history.ledger import Ledger
from chanterd.history.players import delete_player, find_or_create
from chanterd.history.store import Store
from chanterd.history.wall_clock import WallTime
from chanterd.listening.report import HeardOrnament
from chanterd.music.book import standard_book
from chanterd.music.units import NS_PER_S

DAY_NS = 24 * 3600 * NS_PER_S
HEARD: HeardOrnament = {
    "start_ms": 1000.0,
    "theme_ms": 1150.0,
    "ornament": "grip",
    "drill": "grip from B to C",
    "or": [],
    "clean": True,
    "faults": [],
    "said": "Clean.",
    "steps": [
        {
            "note": "low G",
            "kind": "held",
            "state": "played",
            "played_note": None,
            "onset_ms": 1000.0,
            "length_ms": 60.0,
        }
    ],
}


def way(
    played: int, clean: int, held_ms: float = 60.0, drill: str = "grip from B to C", *, in_tune: bool = False
) -> FreeWay:
    """How grips went."""
    faults = {"crushed": played - clean} if played > clean else {}
    row = {"ornament": "grip", "played": played, "clean": clean, "held_ms": held_ms, "quick_ms": None, "faults": faults}
    return FreeWay(drill, "grips", in_tune, row)  # type: ignore[arg-type] # the same fields


def part(
    store: Store, key: str, ways: Sequence[FreeWay], number: int = 0, day: int = 0, why: str | None = None
) -> FreePartPlayed:
    """A part of a run that began on the 10th of March 2026, or ``day`` days later."""
    began = WallTime(1_773_140_000 * NS_PER_S + day * DAY_NS, 0)
    player = find_or_create(store, "Ada", began)
    begun = FreeBegun(key, player.number, "Ada", began, "steady", "hand", load_profiles(None)[DEFAULT_PROFILE], None)
    wall = replace(began, ns=began.ns + (number + 1) * 10 * NS_PER_S)
    midi = bytes([0, 0x90, 67, 64]) if not number else bytes([10, 0x80, 67, 64])
    return FreePartPlayed(begun, number, wall, midi, (HEARD,), tuple(ways), why)


def test_parts_make_one_run_with_what_was_counted_last(store: Store) -> None:
    """A part that is written again changes nothing."""
    ledger = Ledger(store)
    first = part(store, "a" * 32, [way(3, 2)])
    last = part(store, "a" * 32, [way(5, 4)], 1, why="rested")
    number = ledger.write(first)
    assert ledger.write(last) == ledger.write(last) == ledger.write(first) == number
    with store.reading() as connection:
        (run,) = free_runs_of(connection, first.begun.player)
        assert (run.kind, run.ornaments, run.clean, run.why, run.heard) == ("free", 5, 4, "rested", True)
        assert run == free_run_of(connection, number)
        assert ornaments_of(connection, number) == [HEARD, HEARD]
        take = parse_take(Path("take.mid"), free_take_of(connection, number))
    assert [message.type for message, _ in take.messages] == ["note_on", "note_off"]


def test_a_silent_part_is_no_gap_in_the_take(store: Store) -> None:
    """An ornament waits before it is written, so that a part can hold one and no messages."""
    ledger = Ledger(store)
    ledger.write(part(store, "a" * 32, [way(3, 2)]))
    ledger.write(replace(part(store, "a" * 32, [way(4, 3)], 1), midi=b""))
    number = ledger.write(part(store, "a" * 32, [way(5, 4)], 2, why="rested"))
    with store.reading() as connection:
        take = parse_take(Path("take.mid"), free_take_of(connection, number))
    assert [message.type for message, _ in take.messages] == ["note_on", "note_off"]


def test_a_take_without_its_beginning_is_refused(store: Store) -> None:
    """Times count from the event before, so the rest would be heard at wrong times."""
    ledger = Ledger(store)
    first = part(store, "a" * 32, [way(3, 2)])
    ledger.write(first)
    delete_player(store, first.begun.player)
    number = ledger.write(replace(first, part=1, why="rested"))
    with store.reading() as connection, pytest.raises(ChanterdError, match="free playing lacks its beginning"):
        free_take_of(connection, number)


def test_how_each_ornament_goes_is_by_day(store: Store) -> None:
    """What was part of a tune counts in the tune; today's counts have both."""
    ledger = Ledger(store)
    ledger.write(part(store, "a" * 32, [way(2, 1, 60.0), way(4, 4, in_tune=True)], why="rested"))
    entry = part(store, "b" * 32, [way(6, 3, 40.0)], why="rested")
    ledger.write(entry)
    ledger.write(part(store, "c" * 32, [way(1, 1, 50.0), way(2, 0, 70.0, "")], day=3, why="rested"))
    player = entry.begun.player
    with store.reading() as connection:
        first, unknown, later = sorted(free_by_day(connection, player), key=lambda one: (one.day, one.drill))
        assert (first.day, first.played, first.clean, first.held_ms) == ("2026-03-10", 8, 4, 45.0)
        assert first.faults == {"crushed": 4}
        assert (unknown.drill, unknown.day, later.day) == ("", "2026-03-13", "2026-03-13")
        assert free_by_day(connection, player, Span("2026-03-14")) == []
        ((row, drill),) = free_today(connection, player, "2026-03-10")
        assert (row["played"], row["clean"], drill) == (12, 8, "grip from B to C")
        (known,) = ways_in_free(connection, player, standard_book())
    assert known.drill.words == "grip from B to C"
    assert [(one.day, one.played, one.clean, one.tried_bpm) for one in known.sittings] == [
        (date(2026, 3, 10), 8, 4, None),
        (date(2026, 3, 13), 1, 1, None),
    ]
