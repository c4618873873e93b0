"""Which MIDI port is whose: two chanters of one model have names that fit both, and no port is for two seats.

A port that has been heard stays its source's while it is unplugged, so that another chanter of the model cannot slip
into its place. Where several sources look for the same words, they take the ports that fit in turn: the first source
the first port. After all of a model were unplugged and come back under new numbers, nothing in MIDI says which is
which; they are given out in turn again.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from threading import Lock

NUMBERS = re.compile(r"( \d+:\d+| \d+)$")
"""What ALSA (client:port) and WinMM (a count) put behind a name; it may differ when the chanter is plugged in again."""


@dataclass(slots=True)
class _Claim:
    words: str
    port: str | None = None
    there: bool = False


class Claims:
    """The ports of the sources of one program. Sources call from threads of their own."""

    def __init__(self) -> None:
        self._lock = Lock()
        self._claims: dict[object, _Claim] = {}

    def join(self, owner: object, words: str) -> None:
        """A source begins to look for a port that fits these words."""
        with self._lock:
            self._claims[owner] = _Claim(_plain(words))

    def leave(self, owner: object) -> None:
        """A source looks and listens no more."""
        with self._lock:
            self._claims.pop(owner, None)

    def taken(self, owner: object) -> frozenset[str]:
        """The names of the ports that other sources listen to, or did until they were unplugged."""
        with self._lock:
            return self._taken(owner)

    def take(self, owner: object, fitting: Sequence[str]) -> str | None:
        """Take one of the ports that fit, named in order; None if it is another source's turn or the choice is open."""
        with self._lock:
            mine, taken = self._claims[owner], self._taken(owner)
            free = [name for name in fitting if name not in taken]
            alike = [one for one, claim in self._claims.items() if claim.words == mine.words and not claim.there]
            turn = alike.index(owner)
            if mine.port in free:
                free, turn = [mine.port], 0
            shared = sum(claim.words == mine.words for claim in self._claims.values()) > 1
            if turn >= len(free) or (len(free) > 1 and not shared):
                return None
            mine.port, mine.there, mine.words = free[turn], True, _plain(free[turn])
            return free[turn]

    def gone(self, owner: object) -> None:
        """The port of a source was unplugged; it stays that source's."""
        with self._lock:
            claim = self._claims.get(owner)
            if claim is not None:
                claim.there = False

    def _taken(self, owner: object) -> frozenset[str]:
        return frozenset(
            claim.port for one, claim in self._claims.items() if one is not owner and claim.port is not None
        )


def _plain(words: str) -> str:
    return NUMBERS.sub("", words.casefold())


OURS = Claims()
"""Of this process: a port of the machine has one listener in it."""
