"""Ways and sittings made up for tests; nobody played them."""

from datetime import date, timedelta

from chanterd.music.drill import drill_from_words
from chanterd.practice.proposal.known import Known, Sitting

TODAY = date(2030, 5, 8)
"""A Wednesday."""


def sat(
    ago: int, played: int, clean: int, *, stage: int | None = None, held: float | None = None, tried: float = 64.0
) -> Sitting:
    """That many days before ``TODAY``."""
    return Sitting(TODAY - timedelta(ago), stage, played, clean, tried, held, 12.0)


def known(words: str, *sittings: Sitting, aim: float | None = None) -> Known:
    """A way with these sittings, the earliest first."""
    return Known(drill_from_words(words), sittings, aim)
