"""Wrong guesses are counted, and after a few nobody listens for a minute."""

from chanterd.music.units import NS_PER_S, Ns
from chanterd.serving.access.lockout import FROM_ALL, FROM_ONE, MOST_ADDRESSES, WINDOW_NS, Lockout


def test_one_address_is_locked_out_and_the_others_are_not() -> None:
    """The tenth wrong guess locks it, for a minute from then on."""
    lock = Lockout()
    for number in range(FROM_ONE):
        assert not lock.locked("10.0.0.7", Ns(number))
        lock.wrong("10.0.0.7", Ns(number))
    assert lock.locked("10.0.0.7", Ns(FROM_ONE))
    assert not lock.locked("10.0.0.8", Ns(FROM_ONE))
    assert lock.locked("10.0.0.7", Ns(WINDOW_NS))
    assert not lock.locked("10.0.0.7", Ns(WINDOW_NS + FROM_ONE))


def test_many_addresses_together_are_locked_out_too() -> None:
    """Whoever has a hundred addresses has no more guesses for it."""
    lock = Lockout()
    for number in range(FROM_ALL):
        lock.wrong(f"10.0.0.{number}", Ns(number))
    assert lock.locked("10.9.9.9", Ns(FROM_ALL))


def test_it_holds_no_memory_of_long_ago() -> None:
    """A year of guesses from ever new addresses, one a second."""
    lock = Lockout()
    for number in range(5 * MOST_ADDRESSES):
        lock.wrong(f"host {number}", Ns(number * NS_PER_S))
    assert len(lock._by_address) <= MOST_ADDRESSES
    assert len(lock._all) <= 5 * MOST_ADDRESSES
