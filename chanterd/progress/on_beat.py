"""How far from the beat is off it, over a span of days: the limit that the player's newest run was judged by."""

from collections.abc import Mapping

from sqlalchemy import Connection

from chanterd.history.queries import runs_of
from chanterd.judging.standard import DEFAULT, Standard, standard_of

USUAL_BPM = 60.0
"""Whose limit it is for a player who has no run yet."""


def on_beat_ms(connection: Connection, player: int, standards: Mapping[str, Standard]) -> float:
    """The limit in ms, to either side; one for all days, so that a picture has one meaning of "on the beat"."""
    newest = next(iter(runs_of(connection, player, most=1)), None)
    if newest is None:
        return standards[DEFAULT].on_beat_ms(USUAL_BPM)
    return standard_of(newest.standard, standards).on_beat_ms(newest.click_bpm)
