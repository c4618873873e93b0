"""How the daemon is, as the status page shows it."""

import logging
import os
from datetime import UTC, datetime
from pathlib import Path

import pytest

from chanterd.music.units import NS_PER_MS, Ns
from chanterd.serving.status import Health, Pages
from tests.serving.played_seat import Sitting

NOBODY = Pages(now=0, frames=0, lost=0, let_go=0)


def test_lateness_is_that_of_the_last_minute() -> None:
    """At 50 wake-ups a second 3000 are remembered and what was late before is forgotten; waking early is not late."""
    health = Health(Ns(0))
    assert health.lateness() == {"median_ms": None, "worst_ms": None}
    health.woke(90 * NS_PER_MS)
    health.woke(-NS_PER_MS)
    assert health.lateness()["worst_ms"] == 90
    for _ in range(2998):
        health.woke(NS_PER_MS)
    assert health.lateness()["worst_ms"] == 90
    for _ in range(2):
        health.woke(NS_PER_MS)
    assert health.lateness() == {"median_ms": 1, "worst_ms": 1}


def test_it_shows_how_long_it_has_run() -> None:
    """By the daemon's own clock, and since when by the wall clock."""
    health = Health(Ns(5_000_000_000))
    reported = health.status(Ns(3_605_000_000_000), "/data", NOBODY, [], ["a line"])
    assert (reported["up_s"], reported["data"], reported["log"]) == (3600, "/data", ["a line"])
    since = datetime.fromisoformat(reported["since"])
    assert abs((datetime.now(UTC) - since).total_seconds()) < 60


def test_memory_is_counted_in_millions_of_bytes() -> None:
    """A hundred million bytes more in use are 100 MB more."""
    health = Health(Ns(0))
    before = health.status(Ns(0), "", NOBODY, [], [])
    block = bytearray(os.urandom(1_000_000) * 100)
    after = health.status(Ns(0), "", NOBODY, [], [])
    assert len(block) == 100_000_000
    assert after["memory_mb"] - before["memory_mb"] == pytest.approx(100, abs=2)


def test_processor_time_is_what_the_system_counts_for_this_process() -> None:
    """Its own work and what the system did for it: reading a file over and over is mostly the latter."""
    health, before = Health(Ns(0)), os.times()
    while os.times().system - before.system < 0.3:
        Path(os.devnull).read_bytes()
        os.urandom(1_000_000)
    shown, times = health.status(Ns(0), "", NOBODY, [], [])["processor_s"], os.times()
    assert shown == pytest.approx(times.user + times.system, abs=0.2)


def test_the_daemon_reports_every_seat(sitting: Sitting, caplog: pytest.LogCaptureFixture) -> None:
    """Which input, how it is, and how many messages came; the log says which run began and how it ended."""
    with caplog.at_level(logging.INFO, "chanterd"):
        sitting.practise("grip from B to C", 60)
        sitting.daemon.seat(None).end()
    reported = sitting.daemon.status()
    assert [(seat["seat"], seat["messages"]) for seat in reported["seats"]] == [("1", 0)]
    assert caplog.messages == [
        "Seat 1 began grip from B to C at 60 clicks a minute, standard 'steady'.",
        "Seat 1 stopped: 0 of 0 reps clean.",
    ]
