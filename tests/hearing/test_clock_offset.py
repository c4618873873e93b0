"""Two clocks compared over a link that delays: within 2 ms over the worst wireless link we can think of."""

from random import Random

import pytest

from chanterd.hearing.clock_offset import EVERY_NS, WINDOW_NS, ClockOffset, Exchange
from chanterd.music.units import NS_PER_MS, Ns

APART_NS = 123_456_789_000


def exchange(at_ns: int, there_ms: float, back_ms: float, drift: float = 0.0) -> Exchange:
    """Stamps of a question asked at that time of their clock; ours is ahead by ``APART_NS`` and drifts."""

    def ours(their_ns: float) -> Ns:
        return Ns(round(their_ns * (1 + drift) + APART_NS))

    received = at_ns + there_ms * NS_PER_MS
    answered = received + 50_000
    return Exchange(Ns(at_ns), ours(received), ours(answered), Ns(round(answered + back_ms * NS_PER_MS)))


def error_ms(known: ClockOffset, at_ns: int, drift: float = 0.0) -> float:
    """How wrong it is then."""
    assert known.offset_ns is not None
    return (known.offset_ns - (APART_NS + drift * at_ns)) / NS_PER_MS


def test_nothing_is_known_before_the_first_exchange() -> None:
    """And of one exchange the two ways count as alike."""
    known = ClockOffset()
    assert (known.offset_ns, known.least_delay_ns) == (None, None)
    known.add(exchange(0, 30, 10))
    assert error_ms(known, 0) == pytest.approx(10)
    assert known.least_delay_ns == 20 * NS_PER_MS


@pytest.mark.parametrize("drift", [0.0, 20e-6, -20e-6])
def test_eighty_ms_give_or_take_forty_make_nobody_late(drift: float) -> None:
    """Simulated: both ways take 40 to 120 ms at random, ten exchanges a second; within 2 ms after 20 s."""
    dice, known, worst = Random(5), ClockOffset(), 0.0  # noqa: S311 - simulated delays, no secret
    for number in range(3000):
        at_ns = number * EVERY_NS
        known.add(exchange(at_ns, dice.uniform(40, 120), dice.uniform(40, 120), drift))
        if number > 200:
            worst = max(worst, abs(error_ms(known, at_ns, drift)))
    assert worst < 2


def test_a_lucky_exchange_of_long_ago_is_forgotten() -> None:
    """Clocks drift, and links change: what is older than the window counts no more."""
    known = ClockOffset()
    known.add(exchange(0, 1, 1))
    for number in range(1, 40):
        known.add(exchange(number * 1_000 * NS_PER_MS, 50, 50))
    assert known.least_delay_ns == 50 * NS_PER_MS
    assert 39 * 1_000 * NS_PER_MS > WINDOW_NS
