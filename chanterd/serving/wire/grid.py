"""The click as a page needs it to sound."""

from pydantic import with_config
from typing_extensions import TypedDict

from chanterd.judging.report import STRICT


@with_config(STRICT)
class GridShown(TypedDict):
    """The click: beat b sounds at beat0_ns + b * 60e9 / click_bpm, from beat -count_in on."""

    beat0_ns: int
    click_bpm: float
    count_in: int
    clicks_per_rep: int
    """Also where the accent falls: on every beat that is a multiple of it."""
    ornament_beat: int
    """The ornament's own beat within a rep."""
    click_off: bool
    """The click stops after the count-in; the expected times then follow the player's own pulse."""
