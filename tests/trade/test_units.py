"""Units: how times are told to people."""

from chanterd.trade.units import NS_PER_MINUTE, NS_PER_MS, Ns, ms


def test_the_constants_agree_with_the_second() -> None:
    """A millisecond is a million ns and a minute sixty thousand ms (SI prefixes)."""
    assert NS_PER_MS == 10**9 // 1000
    assert NS_PER_MINUTE == 60 * 1000 * NS_PER_MS


def test_milliseconds_keep_microseconds_and_the_sign() -> None:
    """Early stays negative; below a microsecond is rounded away, to the nearest."""
    assert ms(Ns(12_345_678)) == 12.346
    assert ms(Ns(-12_345_400)) == -12.345
    assert ms(Ns(0)) == 0.0


def test_a_day_of_practice_still_has_microseconds() -> None:
    """The rounding does not get coarser as the run goes on."""
    day_ns = 24 * 60 * NS_PER_MINUTE
    assert ms(Ns(day_ns + 1_234)) == day_ns / NS_PER_MS + 0.001
