"""What an ornament is by those on both sides of it: in a recording what comes after it is known, too.

A doubling that lacks its G gracenote sounds like a half doubling; among doublings it was meant to be one of them.
"""

from collections.abc import Sequence
from dataclasses import replace

from chanterd.listening.found import Found
from chanterd.listening.prices import STANDARD_PRICES, Prices
from chanterd.listening.usual import Around

BESIDE = 3
"""How many on each side count."""


def reconsidered(found: Sequence[Found], prices: Prices = STANDARD_PRICES) -> list[Found]:
    """The same ornaments, each as it is likeliest among its neighbours as they were read at first."""
    return [_among(one, _beside(found, at), prices) if one.choices else one for at, one in enumerate(found)]


def _beside(found: Sequence[Found], at: int) -> list[Found]:
    return [*found[max(0, at - BESIDE) : at], *found[at + 1 : at + 1 + BESIDE]]


def _among(found: Found, beside: Sequence[Found], prices: Prices) -> Found:
    around = Around([one.way for one in beside if one.way is not None], prices)
    total = {id(choice): choice.price + around.price(choice.way) for choice in found.choices}
    choices = sorted(found.choices, key=lambda choice: total[id(choice)])
    least = total[id(choices[0])]
    others = tuple(one.way for one in choices[1:] if total[id(one)] <= least + prices.equal)
    return replace(found, choices=tuple(choices), others=others)
