"""Simulated whole tunes, for tests: pick-ups, repeats of all kinds, endings, changes of time."""

import random
from fractions import Fraction

from chanterd.music.note import Note
from tests.music.tunes.piece_writer import Bar, Ended, Section
from tests.music.tunes.tune_writer import Written

METERS = ((2, 4), (4, 4), (3, 4), (6, 8), (9, 8))
ENDINGS = (((1,), (2,)), ((1, 3), (2,)), ((1, 2), (3,)), ((1,), (2,), (3,)), ((1, 3), (2, 4)), ((1, 2, 3), (4,)))
"""The times through that the endings of a section are for, one kind a row."""


def made_up_piece(seed: int, meter: tuple[int, int], *, thrice: bool = False) -> list[Section]:
    """A simulated tune of up to four sections; with ``thrice`` some are played three times without endings."""
    chance = random.Random(seed)  # noqa: S311 - nothing is kept secret with it
    piece: list[Section] = []
    for number in range(chance.randint(1, 4)):
        changed = chance.choice(METERS) if number and chance.random() < 0.3 else None
        now = meter = changed or meter
        body = tuple(_bar(chance, now) for _ in range(chance.randint(1, 4)))
        if number == 0 and chance.random() < 0.5:
            body = (_pickup(chance), *body)
        kind = chance.choice(("plain", "twice", "ended", "ended", "thrice" if thrice else "twice"))
        if kind == "ended":
            rows = chance.choice(ENDINGS)
            endings = tuple(Ended(row, tuple(_bar(chance, now) for _ in range(chance.randint(1, 2)))) for row in rows)
            piece.append(Section(body, endings, max(time for row in rows for time in row), changed))
        else:
            piece.append(Section(body, (), {"plain": 1, "twice": 2, "thrice": 3}[kind], changed))
    return piece


def _bar(chance: random.Random, meter: tuple[int, int]) -> Bar:
    """A full bar of notes of uneven lengths."""
    left, found = Fraction(*meter), list[Written]()
    while left > 0:
        lasts = min(left, chance.choice((Fraction(1, 4), Fraction(1, 8), Fraction(3, 16), Fraction(1, 16))))
        found.append(_note(chance, lasts))
        left -= lasts
    return tuple(found)


def _pickup(chance: random.Random) -> Bar:
    return (_note(chance, Fraction(1, 8)),)


def _note(chance: random.Random, lasts: Fraction) -> Written:
    graces = chance.choices(list(Note), k=chance.choice((0, 0, 1, 3)))
    return Written(chance.choice(list(Note)), lasts, tuple(graces))
