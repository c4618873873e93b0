"""What the daemon remembers of each input between runs: profile and calibration, in one JSON file in ``--data``."""

import json
import logging
from dataclasses import asdict, dataclass, replace
from pathlib import Path

LOG = logging.getLogger(__name__)
FILE = "inputs.json"


@dataclass(frozen=True, slots=True)
class Kept:
    """What is known of one input."""

    profile: str | None = None
    calibration_ms: float | None = None
    """Taken off every onset; None: never calibrated."""


class Memory:
    """Reads the file once and writes it, whole or not at all, on every change."""

    def __init__(self, folder: Path) -> None:
        self._path = folder / FILE
        self._inputs = self._read()

    def of(self, name: str) -> Kept:
        """What is known of that input."""
        return self._inputs.get(name, Kept())

    def keep(self, name: str, *, profile: str | None = None, calibration_ms: float | None = None) -> None:
        """Remember what is given, leave the rest as it was."""
        known = self.of(name)
        if profile is not None:
            known = replace(known, profile=profile)
        if calibration_ms is not None:
            known = replace(known, calibration_ms=calibration_ms)
        self._inputs[name] = known
        self._path.parent.mkdir(parents=True, exist_ok=True)
        draft = self._path.with_suffix(".part")
        draft.write_text(json.dumps({name: asdict(kept) for name, kept in self._inputs.items()}, indent=2), "utf-8")
        draft.replace(self._path)

    def _read(self) -> dict[str, Kept]:
        if not self._path.exists():
            return {}
        try:
            return {name: Kept(**kept) for name, kept in json.loads(self._path.read_text("utf-8")).items()}
        except (ValueError, TypeError, AttributeError, OSError) as error:
            aside = self._path.with_suffix(".unreadable")
            LOG.warning("%s cannot be read (%s); it is kept as %s and begun anew.", self._path, error, aside.name)
            self._path.replace(aside)
            return {}
