"""The daemon's clock as the page tells it, against the formulas of RFC 5905 (sections 8 and 10)."""

import random

from hypothesis import given
from hypothesis import strategies as st

from tests.browser.conftest import Inside


def test_offset_and_delay_of_one_exchange(inside: Inside) -> None:
    """Offset = ((T2 - T1) + (T3 - T4)) / 2 and delay = (T4 - T1) - (T3 - T2), RFC 5905 section 8."""
    t1, t2, t3, t4 = 1000.0, 61_007.5, 61_008.0, 1012.0
    found = inside("core/clock.js", "(m, ...stamps) => m.exchange(...stamps)", t1, t2 * 1e6, t3 * 1e6, t4)
    assert found == {"offset_ms": ((t2 - t1) + (t3 - t4)) / 2, "delay_ms": (t4 - t1) - (t3 - t2)}


def test_the_least_delayed_of_the_last_eight_is_believed(inside: Inside) -> None:
    """RFC 5905 section 10: of the last eight samples the one of least delay counts; a ninth pushes the first out."""
    body = "(m, delays) => m.best(delays.reduce((kept, d, i) => m.keep(kept, {offset_ms: i, delay_ms: d}), []))"
    assert inside("core/clock.js", body, [9, 8, 1, 7, 6, 5, 4, 3])["offset_ms"] == 2
    assert inside("core/clock.js", body, [0, 9, 8, 7, 6, 5, 4, 3, 2])["offset_ms"] == 8
    assert inside("core/clock.js", "(m) => m.best([])") is None


def test_the_error_is_at_most_half_the_delay(inside: Inside) -> None:
    """Whatever the way there and back take, the offset is off by no more than half of their sum."""

    @given(st.floats(0, 200), st.floats(0, 200), st.floats(-1e6, 1e6))
    def holds(there: float, back: float, offset: float) -> None:
        t1 = 5000.0
        t2 = t1 + there + offset
        found = inside("core/clock.js", "(m, ...s) => m.exchange(...s)", t1, t2 * 1e6, t2 * 1e6, t1 + there + back)
        assert abs(found["offset_ms"] - offset) <= (there + back) / 2 + 1e-3

    holds()


def test_there_and_back_is_the_same_instant(inside: Inside) -> None:
    """Page to daemon to page gives the instant again, also for a machine that has been up for months."""
    dice = random.Random(5)  # noqa: S311
    stamps = [dice.uniform(0, 1e9) for _ in range(20)]
    body = """(m, stamps) => {
      const clock = new m.Clock();
      clock.hear({sent: 10, received_ns: 8e15, replied_ns: 8e15}, 12);
      return stamps.map((ms) => clock.toPage_ms(clock.toDaemon_ns(ms)));
    }"""
    found = inside("core/clock.js", body, stamps)
    assert all(abs(there - back) < 1e-3 for there, back in zip(stamps, found, strict=True))


def test_an_unknown_clock_gives_no_time(inside: Inside) -> None:
    """Before the first answer nothing can be scheduled."""
    assert inside("core/clock.js", "(m) => Number.isNaN(new m.Clock().toPage_ms(1))")
