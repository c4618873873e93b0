"""Units: how times are shown to people."""

from hypothesis import given
from hypothesis import strategies as st

from chanterd.music.units import NS_PER_MINUTE, NS_PER_MS, Ns, ms


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


@given(
    st.integers(-(2**60), 2**60)
    | st.integers(-(10**13), 10**13).map(lambda us: 1000 * us + 500)
    | st.integers(-(10**25), 10**25)
)
def test_milliseconds_are_rounded_as_python_rounds_them(ns: int) -> None:
    """Halves too, and on either side of zero: the built-in round of the quotient is the reference."""
    assert ms(ns) == round(ns / 1e6, 3)
