"""What a player does: when it begins."""

from chanterd.music.units import Bpm, Ns
from chanterd.practice.run import COUNT_IN_CLICKS
from chanterd.serving.seats.activity import LEAD_IN_NS, Output


def test_the_first_beat_leaves_room_for_a_count_in() -> None:
    """From the start to beat 0 there are 0.6 s for the page, and then four clicks, whatever the tempo."""
    output = Output("1", lambda _: None, lambda: Ns(5))
    assert output.first_beat(Bpm(60.0)) == 5 + 600_000_000 + 4 * 1_000_000_000
    assert output.first_beat(Bpm(240.0)) == 5 + LEAD_IN_NS + COUNT_IN_CLICKS * 250_000_000
