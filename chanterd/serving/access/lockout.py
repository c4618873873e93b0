"""Wrong guesses at a code: few of them are borne, then nobody from there is listened to for a while. Pure."""

from collections import deque

from chanterd.music.units import NS_PER_S, Ns

FROM_ONE, FROM_ALL = 10, 100
"""Wrong guesses borne from one address, and from all together, within ``WINDOW_NS``."""
WINDOW_NS = 60 * NS_PER_S
"""Also how long the lock lasts, counted from the last guess that was listened to."""
MOST_ADDRESSES = 1_000
"""How many addresses have a count of guesses of their own; the others share the common count."""


class Lockout:
    """Counts wrong guesses; times are on the daemon's clock."""

    def __init__(self) -> None:
        """Begin with none."""
        self._by_address: dict[str, deque[int]] = {}
        self._all: deque[int] = deque()

    def locked(self, address: str, now_ns: Ns) -> bool:
        """Whether a guess from there is not even looked at now."""
        mine = self._by_address.get(address)
        return _recent(self._all, now_ns) >= FROM_ALL or (mine is not None and _recent(mine, now_ns) >= FROM_ONE)

    def wrong(self, address: str, now_ns: Ns) -> None:
        """Count a wrong guess."""
        self._all.append(now_ns)
        if address not in self._by_address and len(self._by_address) >= MOST_ADDRESSES:
            self._forget(now_ns)
        if address in self._by_address or len(self._by_address) < MOST_ADDRESSES:
            self._by_address.setdefault(address, deque()).append(now_ns)

    def _forget(self, now_ns: Ns) -> None:
        self._by_address = {one: guesses for one, guesses in self._by_address.items() if _recent(guesses, now_ns)}


def _recent(guesses: deque[int], now_ns: Ns) -> int:
    while guesses and now_ns - guesses[0] > WINDOW_NS:
        guesses.popleft()
    return len(guesses)
