"""Errors that a user can mend, guesses at what was meant, and where the bundled folders are."""

import difflib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

LONGEST_QUOTE = 80
"""Characters of a wrong value that an error repeats."""

Found = TypeVar("Found")


class ChanterdError(Exception):
    """Anything a user can mend. Its text is one or more complete sentences, fit to be shown unchanged."""


class ConfigError(ChanterdError):
    """A table, or another file of the program's own, is wrong; the text has one line for each mistake."""


@dataclass(frozen=True, slots=True)
class Mistake:
    """One mistake in what a person wrote."""

    where: str
    """The part of it, such as ``part 2``; empty if it has no parts, ``file`` for the whole of a file."""
    field: str
    """Its key there, such as ``click_bpm``; empty if the mistake belongs to none."""
    said: str
    """A sentence."""


class FieldsError(ChanterdError):
    """Mistakes of which a form can show each beside its field; the text has one line for each."""

    def __init__(self, mistakes: Sequence[Mistake]) -> None:
        super().__init__("\n".join(one.said for one in mistakes))
        self.mistakes = tuple(mistakes)


def bundled(name: str) -> Path:
    """A top-level folder (``configs`` or ``web``): inside the wheel, or beside the package in a checkout."""
    inside = Path(__file__).parent / name
    return inside if inside.is_dir() else Path(__file__).parent.parent / name


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """A guess at what was meant, as `` Did you mean 'x'?`` with a leading blank, or an empty string."""
    near = difflib.get_close_matches(word, list(known), n=1, cutoff=0.6) if len(word) <= LONGEST_QUOTE else []
    return f" Did you mean '{near[0]}'?" if near else ""


def quoted(value: object) -> str:
    """A wrong value as an error repeats it: on one line, printable and short."""
    try:
        words = repr(value)
    except ValueError:  # Python writes no number of more than some thousand digits
        return "a number of thousands of digits"
    return words if len(words) <= LONGEST_QUOTE else f"{words[:LONGEST_QUOTE]}… ({len(words)} characters)"


def find(kind: str, name: str | None, known: Mapping[str, Found]) -> Found:
    """The one of that name, or the first if no name is given; ``kind`` is what they are, such as ``layout``.

    Raises ChanterdError with a guess at the one that was meant, and all that there are.
    """
    if name is None:
        return next(iter(known.values()))
    if name in known:
        return known[name]
    guess = did_you_mean(name, known)
    raise ChanterdError(f"The {kind} {quoted(name)} is not known.{guess} Known are: {', '.join(known)}.")
