"""What the daemon remembers of each input between runs: profile and calibration, in one JSON file in ``--data``."""

import re
from dataclasses import dataclass, replace
from itertools import chain, count
from pathlib import Path
from typing import Annotated

from annotated_types import Interval

from chanterd.files import KeptFile
from chanterd.hearing.claims import NUMBERS

FILE = "inputs.json"
UNWRITTEN = "so nothing was changed. Make room and allow writing there, or choose another folder with --data"
LONGEST_MS = 10_000.0
"""No input is late or early by more."""

_SEVERAL = re.compile(r" \((\d+)\)$")


def _parted(key: str) -> tuple[str, int]:
    """The name and the number of a key; 1 where it has none."""
    found = _SEVERAL.search(key)
    return (key, 1) if found is None else (key[: found.start()], int(found[1]))


def _numbered(name: str, number: int) -> str:
    return name if number == 1 else f"{name} ({number})"


@dataclass(frozen=True, slots=True)
class InputSettings:
    """What is known of one input."""

    profile: str | None = None
    calibration_ms: Annotated[float, Interval(ge=-LONGEST_MS, le=LONGEST_MS)] | None = None
    """Taken off every onset; None: never calibrated."""


class InputMemory:
    """What is known of each input; see ``KeptFile``.

    An input is known by its name without the system's number. Of several with one name the first seat's is
    ``Kitchen chanter``, the next one's ``Kitchen chanter (2)``: each has a profile and a calibration of its own.
    """

    def __init__(self, folder: Path) -> None:
        self._inputs: KeptFile[dict[str, InputSettings]] = KeptFile(folder / FILE, dict[str, InputSettings], {})
        self._keys: dict[str, str] = {}

    def key(self, seat: str, name: str) -> str:
        """What the input of a seat is known by; the seat keeps it until it listens to another."""
        plain = NUMBERS.sub("", name)
        others = {key for one, key in self._keys.items() if one != seat}
        before, number = _parted(self._keys.get(seat, ""))
        if before != _parted(plain)[0]:
            # What was looked for by a part of its name, and is found, stays the second that fits those words.
            first = number if before and before.casefold() in plain.casefold() else 1
            keys = (_numbered(plain, one) for one in chain((first,), count(1)))
            self._keys[seat] = next(key for key in keys if key not in others)
        return self._keys[seat]

    def leave(self, seat: str) -> None:
        """The seat is no more."""
        self._keys.pop(seat, None)

    def of(self, key: str) -> InputSettings:
        """What is known of that input."""
        return self._inputs.content.get(key, InputSettings())

    def keep(self, key: str, *, profile: str | None = None, calibration_ms: float | None = None) -> None:
        """Remember what is given, leave the rest as it was. Raises ChanterdError if it cannot be written."""
        known = self.of(key)
        if profile is not None:
            known = replace(known, profile=profile)
        if calibration_ms is not None:
            known = replace(known, calibration_ms=calibration_ms)
        self._inputs.write({**self._inputs.content, key: known}, UNWRITTEN)
