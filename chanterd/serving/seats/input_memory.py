"""What the daemon remembers of each input between runs: profile and calibration, in one JSON file in ``--data``."""

import re
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Annotated

from annotated_types import Interval

from chanterd.files import KeptFile

FILE = "inputs.json"
UNWRITTEN = "so nothing was changed. Make room and allow writing there, or choose another folder with --data"
LONGEST_MS = 10_000.0
"""No input is late or early by more."""

_NUMBERS = re.compile(r"( \d+:\d+| \d+)$")
"""What systems count ports by; it may be another number after plugging in again, on the same chanter."""


@dataclass(frozen=True, slots=True)
class InputSettings:
    """What is known of one input."""

    profile: str | None = None
    calibration_ms: Annotated[float, Interval(ge=-LONGEST_MS, le=LONGEST_MS)] | None = None
    """Taken off every onset; None: never calibrated."""


class InputMemory:
    """What is known of each input; see ``KeptFile``."""

    def __init__(self, folder: Path) -> None:
        self._inputs: KeptFile[dict[str, InputSettings]] = KeptFile(folder / FILE, dict[str, InputSettings], {})

    def of(self, name: str) -> InputSettings:
        """What is known of that input."""
        return self._inputs.content.get(_NUMBERS.sub("", name), InputSettings())

    def keep(self, name: str, *, profile: str | None = None, calibration_ms: float | None = None) -> None:
        """Remember what is given, leave the rest as it was. Raises ChanterdError if it cannot be written."""
        known = self.of(name)
        if profile is not None:
            known = replace(known, profile=profile)
        if calibration_ms is not None:
            known = replace(known, calibration_ms=calibration_ms)
        self._inputs.write({**self._inputs.content, _NUMBERS.sub("", name): known}, UNWRITTEN)
