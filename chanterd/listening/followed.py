"""An ornament of a recording as it was judged by its drill or its tune, once it is known which one was played."""

from collections.abc import Sequence
from dataclasses import dataclass

from chanterd.judging.report import FaultResult
from chanterd.music.units import Ns

OTHER = "wrong ornament"
"""The fault of whoever played another ornament."""


@dataclass(frozen=True, slots=True)
class Followed:
    """One ornament, followed and judged where it was to be played."""

    words: str
    """The drill."""
    onsets_ns: Sequence[Ns | None]
    """When each of its steps began, the melody note last; None for what was not heard by itself."""
    clean: bool
    faults: Sequence[FaultResult]
    off_beat_ms: float | None
    """How far from the player's own beat it was; + is late. None where it does not belong on one."""
    lead_known: bool = True
    """Whether it was played from the note that it is written after; not where the player began or went back."""

    @property
    def theme_ns(self) -> Ns | None:
        """When its melody note began."""
        return self.onsets_ns[-1]

    @property
    def other(self) -> bool:
        """Whether another ornament was played in its place."""
        return any(one["fault"] == OTHER for one in self.faults)
