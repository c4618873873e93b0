"""Where each player puts the beat of ornaments that teachers disagree about: one JSON file in ``--data``.

By the name the history knows the player by; then by ornament, the place as tables write it (``step 1`` or ``theme``).
What is as in the book is not kept.
"""

from collections.abc import Mapping
from pathlib import Path

from chanterd.files import KeptFile
from chanterd.music.drill import Drill, placed
from chanterd.music.placement import place_key
from chanterd.serving.wire.shapes import PlacementShown

FILE = "placements.json"
UNWRITTEN = "so the beat stays where it was. Make room and allow writing there, or choose another folder with --data"

Chosen = Mapping[str, str]
"""To each ornament the place that a player chose."""


class Placements:
    """What the players chose; see ``KeptFile``."""

    def __init__(self, folder: Path) -> None:
        self._chosen: KeptFile[dict[str, dict[str, str]]] = KeptFile(folder / FILE, dict[str, dict[str, str]], {})

    def of(self, player: str) -> Chosen:
        """What that player chose."""
        return self._chosen.content.get(player, {})

    def shown(self, player: str) -> list[PlacementShown]:
        """The same for the pages."""
        return [PlacementShown(ornament=ornament, at=at) for ornament, at in self.of(player).items()]

    def theirs(self, player: str, drill: Drill) -> Drill:
        """The drill with its beat where that player puts it; as it is if it is moved already."""
        key = self.of(player).get(drill.ornament.name)
        return drill if key is None or drill.ornament.moved else placed(drill, key)

    def choose(self, player: str, drill: Drill) -> None:
        """From now on they play the drill's ornament with its beat where it is here.

        Raises ChanterdError, and changes nothing, if that cannot be written.
        """
        name = drill.ornament.name
        kept = {ornament: place for ornament, place in self.of(player).items() if ornament != name}
        self._keep(player, {**kept, name: place_key(drill.ornament.beat)} if drill.ornament.moved else kept)

    def rename(self, player: str, name: str) -> None:
        """The player has another name. Raises ChanterdError if it cannot be written."""
        if player in self._chosen.content and player != name:
            self._keep(name, dict(self.of(player)), instead_of=player)

    def forget(self, player: str) -> None:
        """Remember nothing of that player any more. Raises ChanterdError if it cannot be written."""
        if player in self._chosen.content:
            self._keep(player, {})

    def _keep(self, player: str, chosen: dict[str, str], instead_of: str = "") -> None:
        others = {name: places for name, places in self._chosen.content.items() if name not in (player, instead_of)}
        self._chosen.write({**others, player: chosen} if chosen else others, UNWRITTEN)
