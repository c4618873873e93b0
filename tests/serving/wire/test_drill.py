"""A drill in words and in time."""

from chanterd.music.drill import drill_from_words
from chanterd.music.segment import make_segment
from chanterd.music.units import Bpm
from chanterd.serving.wire.drill import drill_view


def test_times_count_from_the_ornaments_own_beat() -> None:
    """The step on the beat is at 0, what comes before it is negative."""
    segment = make_segment(drill_from_words("grip from B to C"), Bpm(60.0))
    shown = drill_view(segment, segment.drill.theme)
    assert shown["drill"] == "grip from B to C"
    offsets = [step["offset_ms"] for step in shown["steps"]]
    assert offsets[shown["beat_step"]] == 0
    assert offsets == sorted(offsets)
    assert shown["lead_offset_ms"] == -1000.0
    assert shown["lead_sounds"] is True
    assert drill_view(segment, segment.drill.lead)["lead_sounds"] is False
