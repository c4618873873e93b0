"""What the daemon remembers of each input between runs: profile and calibration, in one JSON file in ``--data``."""

import json
import logging
import re
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from typing import Any

from pydantic import FiniteFloat, TypeAdapter

from chanterd.config import ChanterdError

LOG = logging.getLogger(__name__)
FILE = "inputs.json"

_NUMBERS = re.compile(r"( \d+:\d+| \d+)$")
"""What systems count ports by; it may be another number after plugging in again, on the same chanter."""


@dataclass(frozen=True, slots=True)
class Kept:
    """What is known of one input."""

    profile: str | None = None
    calibration_ms: FiniteFloat | None = None
    """Taken off every onset; None: never calibrated."""


_KEPT = TypeAdapter(dict[str, Kept])


class Memory:
    """Reads the file once and writes it, whole or not at all, on every change."""

    def __init__(self, folder: Path) -> None:
        self._path = folder / FILE
        self._inputs = self._read()

    def of(self, name: str) -> Kept:
        """What is known of that input."""
        return self._inputs.get(_NUMBERS.sub("", name), Kept())

    def keep(self, name: str, *, profile: str | None = None, calibration_ms: float | None = None) -> None:
        """Remember what is given, leave the rest as it was. Raises ChanterdError if it cannot be written."""
        known = self.of(name)
        if profile is not None:
            known = replace(known, profile=profile)
        if calibration_ms is not None:
            known = replace(known, calibration_ms=calibration_ms)
        inputs = {**self._inputs, _NUMBERS.sub("", name): known}
        self._write({name: asdict(kept) for name, kept in inputs.items()})
        self._inputs = inputs

    def _write(self, inputs: dict[str, Any]) -> None:
        draft = self._path.with_suffix(".part")
        try:
            self._path.parent.mkdir(parents=True, exist_ok=True)
            draft.write_text(json.dumps(inputs, indent=2), "utf-8")
            draft.replace(self._path)
        except OSError as error:
            raise ChanterdError(
                f"{self._path}: cannot be written ({error.strerror}), so nothing was changed. "
                "Make room and allow writing there, or choose another folder with --data."
            ) from error

    def _read(self) -> dict[str, Kept]:
        if not self._path.exists():
            return {}
        try:
            return _KEPT.validate_json(self._path.read_bytes())
        except (ValueError, OSError) as error:
            aside = self._path.with_suffix(".unreadable")
            LOG.warning("%s cannot be read (%s); it is kept as %s and begun anew.", self._path, error, aside.name)
            self._path.replace(aside)
            return {}
