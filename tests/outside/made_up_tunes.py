"""Simulated tunes, for tests: any notes, lengths and gracenotes."""

import random
from fractions import Fraction

from chanterd.music.note import Note
from tests.music.tunes.tune_writer import Written

SIMPLE, TUPLET = (Fraction(1, 4), Fraction(1, 8), Fraction(3, 16), Fraction(1, 16), Fraction(1, 2)), Fraction(1, 12)


def made_up(seed: int, *, triplets: bool = True) -> list[list[Written]]:
    """A simulated tune: bars of any notes, lengths and gracenotes, triplets among them."""
    chance = random.Random(seed)  # noqa: S311 - nothing is kept secret with it
    bars: list[list[Written]] = []
    for _ in range(24):
        lengths = [chance.choice(SIMPLE) for _ in range(chance.randint(1, 5))] + [TUPLET] * (
            triplets * chance.choice((0, 3))
        )
        graces = [tuple(chance.choices(list(Note), k=chance.choice((0, 1, 1, 2, 3, 4, 6)))) for _ in lengths]
        bars.append(
            [Written(chance.choice(list(Note)), one, grace) for one, grace in zip(lengths, graces, strict=True)]
        )
    return bars
