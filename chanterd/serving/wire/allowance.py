"""How many frames a second somebody may send or get: a bucket that fills with time. Pure."""

from chanterd.music.units import NS_PER_S


class Allowance:
    """A number a second in the long run, and a number at once on top of that; times are on the daemon's clock."""

    def __init__(self, a_second: float, at_once: float, now_ns: int) -> None:
        """Begin with a full bucket."""
        self._a_second = a_second
        self._at_once = at_once
        self._left = at_once
        self._counted_ns = now_ns

    def take(self, now_ns: int, many: float = 1) -> bool:
        """Take one, or many; False, and nothing taken, if there are not as many left."""
        filled = min(self._at_once, self._left + (now_ns - self._counted_ns) * self._a_second / NS_PER_S)
        enough = filled >= many
        self._left, self._counted_ns = filled - (many if enough else 0), now_ns
        return enough
