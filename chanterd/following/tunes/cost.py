"""What a reading of a tune costs. The unit is one missing gracenote.

The prices of single notes are those of drills (see ``following.cost``). A tune adds leaps: a bar begun once more, a
part left out, a player who is lost. A leap costs more than a slip or two, and less than the notes that would otherwise
be wrong. The figures were tuned on simulated performances with known truth; only their order is argued for here.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class TuneCosts:
    """Prices, in missing gracenotes, and the times that they depend on."""

    missing: float = 1.0
    """The first gracenote of an ornament that is left out, …"""
    missing_more: float = 0.15
    """… and each further one of the same: who leaves out an ornament leaves out all of it."""
    bare: float = 0.85
    """The share that is taken off those for who leaves out one ornament after the other: a beginner, or who tries the
    melody by itself."""
    bare_learned: float = 0.3
    """How much of that habit one ornament more or less shows."""
    no_note: float = 1.3
    """A missing melody note."""
    melted: float = 0.02
    """A note equal to the one that sounds was skipped: nearly free, since it could not have been heard."""
    wrong_note: float = 1.2
    """A gracenote played as another: less than one missing and one too many, more than either."""
    held_wrong: float = 0.9
    """Added where that one is as long as a melody note."""
    wrong_theme: float = 1.1
    """The same for a melody note."""
    held_extra: float = 1.7
    """An extra note as long as a melody note: it rather is one, and an ornament before it was left out."""
    extra: float = 1.0
    """A shorter one, …"""
    short_extra: float = 0.8
    """… one too short to be meant, …"""
    blip: float = 0.65
    """… and one as short as crossing fingers make them."""
    warming_up: float = 1.2
    """An extra note before the first right one."""
    held_ns: float = 120e6
    short_ns: float = 40e6
    blip_ns: float = 28e6

    uneven: float = 0.8
    """The most that coming too early or too late after the note before can cost; half of it at …"""
    uneven_ns: float = 70e6
    """… this, …"""
    uneven_of_gap: float = 0.3
    """… and this share of what is written between the two: pointing is style."""

    again: float = 1.2
    """A repeat once more than written, …"""
    on: float = 0.5
    """… or left out."""
    bar_again: float = 1.7
    """The bar or the one before begun once more, …"""
    bar_next: float = 2.2
    """… the next bar but one, as after a bar left out, …"""
    part: float = 2.4
    """… or the tune or the part begun once more."""
    found: float = 3.0
    """Anywhere else, if the last ``TOGETHER`` notes fit there."""
    found_first: float = 1.0
    """The same for somebody who begins there."""

    beam: float = 3.2
    """Readings that cost more than this above the cheapest are given up."""
    most: int = 16
    """Readings that are kept."""


STANDARD_TUNE_COSTS = TuneCosts()
TOGETHER = 3
"""This many notes in a row show where a player is who was lost."""
FARTHEST_EVENTS = 14
"""This many events may be left out in a row without a leap."""
FARTHEST = 4.0
"""The most that they may cost together."""
PACE_OF_NOTE = 0.12
"""How much of what a click's worth of notes shows of the player's pace is taken over."""
PACE_LIMITS = (0.55, 1.8)
"""Of the pace so far: who is outside stopped, or hurried over something."""
TROUBLE = 0.75
"""An onset that makes the cheapest reading dearer by this much has the player looked for elsewhere."""
MOST_FOUND = 12
"""Places that are looked at then."""
