"""Inputs with the name of whoever plays: ``Ailsa=my chanter``, as ``--input`` takes them for a class."""

import re
from collections.abc import Sequence

from chanterd.config import ChanterdError

MOST_SEATS = 40
"""What one machine serves; a room has sixteen places as a rule."""
_NAMED = re.compile(r"\s*(?P<name>[^=/\\:]{1,40}?)\s*=\s*(?P<input>.+)", re.DOTALL)


def names_and_inputs(words: Sequence[str]) -> list[tuple[str | None, str]]:
    """Each input with the name before its ``=``, or None; a path with ``=`` in it is no name.

    Raises ChanterdError for more inputs than there are places, and for a name that is given twice.
    """
    if len(words) > MOST_SEATS:
        raise ChanterdError(f"There are {len(words)} inputs; a class has {MOST_SEATS} places at most.")
    found: list[tuple[str | None, str]] = []
    for one in words:
        match = _NAMED.fullmatch(one)
        found.append((None, one) if match is None else (match["name"].strip(), match["input"].strip()))
    names = [name.casefold() for name, _ in found if name is not None]
    for name in names:
        if names.count(name) > 1:
            raise ChanterdError(f"The name '{name}' is given to two inputs; each player sits at one place.")
    return found
