"""The tunes that players may play unasked, by their melodies: read beside the event loop, and again now and then."""

from threading import Thread

from chanterd.listening.noticing import TuneIndex
from chanterd.listening.tunes import known_tune
from chanterd.music.tunes.shelf import Shelf
from chanterd.music.tunes.tune import Tune
from chanterd.music.units import NS_PER_S, Ns

AGAIN_NS = 10 * NS_PER_S
"""After so long the files are looked at again."""


class TunesAtHand:
    """Those of the shelf that can be read. ``want`` and ``tune`` are for the event loop."""

    def __init__(self, shelf: Shelf) -> None:
        self._shelf = shelf
        self._looked_ns: Ns | None = None
        self._looking = False
        self._tunes: list[tuple[str, Tune]] = []
        self._index: TuneIndex | None = None

    @property
    def index(self) -> TuneIndex | None:
        """The tunes by their melodies; None until they have been read once."""
        return self._index

    def want(self, now_ns: Ns) -> None:
        """Somebody plays with nothing chosen: have the tunes read, unless that was done just now."""
        if not self._looking and (self._looked_ns is None or now_ns - self._looked_ns >= AGAIN_NS):
            self._looking, self._looked_ns = True, now_ns
            Thread(target=self.read, daemon=True).start()

    def read(self) -> None:
        """Read the tunes, those whose files changed; hundreds take a while, so not in the event loop."""
        try:
            tunes = [(one.key, one.tune) for one in self._shelf.tunes() if one.tune is not None]
            if self._index is None or [id(tune) for _, tune in tunes] != [id(tune) for _, tune in self._tunes]:
                index = TuneIndex([known_tune(key, tune) for key, tune in tunes])
                self._tunes, self._index = tunes, index
        finally:
            self._looking = False

    def tune(self, index: TuneIndex, number: int) -> tuple[str, Tune] | None:
        """What a tune of an index goes by, and the tune itself; None if it is not on the shelf any more."""
        title = index.tunes[number].title
        return next((one for one in self._tunes if one[0] == title), None)
