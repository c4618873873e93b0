"""How many frames a second somebody may send."""

from chanterd.music.units import NS_PER_S
from chanterd.serving.wire.allowance import Allowance


def test_so_many_at_once_and_then_so_many_a_second() -> None:
    """The bucket never holds more than it did at first."""
    allowance = Allowance(10, 5, 0)
    assert [allowance.take(0) for _ in range(6)] == [True] * 5 + [False]
    assert [allowance.take(NS_PER_S // 5) for _ in range(3)] == [True, True, False]
    assert sum(allowance.take(1000 * NS_PER_S) for _ in range(100)) == 5


def test_what_is_refused_costs_nothing() -> None:
    """A large request that is refused leaves room for a small one."""
    allowance = Allowance(10, 5, 0)
    assert not allowance.take(0, many=6)
    assert allowance.take(0, many=5)
