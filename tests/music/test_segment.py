"""A drill in time: when each step of a rep is expected, at every tempo."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chanterd.music.drill import Drill, all_drills, drill_from_words
from chanterd.music.grid import FASTEST_BPM, SLOWEST_BPM
from chanterd.music.layout import read_layouts
from chanterd.music.segment import make_segment
from chanterd.music.spread import Spread
from chanterd.music.units import NS_PER_MS, Bpm, Ms

DRILLS = list(all_drills())
SPREAD = Spread(held_of_click=0.06, held_at_least_ms=Ms(45), quick_of_click=0.04, quick_at_least_ms=Ms(30))


def offsets_ms(words: str, bpm: float) -> list[float]:
    """Expected onsets in ms from the start of the rep: the lead, each step, the theme."""
    return [at / NS_PER_MS for at in make_segment(drill_from_words(words), Bpm(bpm), SPREAD).offsets_ns]


def test_a_grip_ends_on_its_beat() -> None:
    """At 60 with held steps of 60 ms and quick ones of 40: lead on beat 0, theme on beat 1, the steps just before."""
    assert offsets_ms("grip from B to C", 60) == [0, 840, 900, 940, 1000]


def test_the_ornaments_own_step_is_on_the_beat() -> None:
    """A doubling begins on it, a taorluath ends on it with its E, a light throw has its D on it (common practice)."""
    assert offsets_ms("doubling from low A to C", 60) == [0, 1000, 1040, 1100, 1140]
    assert offsets_ms("taorluath from C to low A", 60)[4] == 1000
    assert offsets_ms("throw on D from low A", 60)[2] == 1000
    assert offsets_ms("birl from E", 60)[2] == 1000


def test_short_notes_keep_their_length_when_the_tempo_rises() -> None:
    """At 120 and 200 the steps do not shrink below their floor (Timmers, Desain and Honing 2000, of pianists)."""
    assert offsets_ms("grip from B to C", 120) == [0, 380, 425, 455, 500]
    assert offsets_ms("grip from B to C", 200) == [0, 180, 225, 255, 300]


def test_a_placeholder_in_a_stage_takes_the_time_of_the_steps_it_replaces() -> None:
    """The one low G of a grip's first stage lasts as long as the whole grip, so that the build-up keeps its rhythm."""
    assert offsets_ms("grip from B to C, stage 1", 60) == [0, 840, 1000]


def test_an_ornament_too_long_for_the_tempo_is_shortened_evenly() -> None:
    """At 240 a G gracenote double birl needs 330 ms and a click is 250: it fills nine tenths, in proportion."""
    at = offsets_ms("G gracenote double birl from E", 240)
    assert at[1] == pytest.approx(250)
    assert at[-1] - at[1] == pytest.approx(0.9 * 250, abs=0.001)
    assert (at[3] - at[2]) / (at[2] - at[1]) == pytest.approx(45 / 30, abs=0.001)


@given(st.sampled_from(DRILLS), st.floats(SLOWEST_BPM, FASTEST_BPM))
def test_every_drill_fits_at_every_tempo(drill: Drill, bpm: float) -> None:
    """Steps follow each other, the one on the beat is on it, and the lengths fill the rep without a gap."""
    times = make_segment(drill, Bpm(bpm))
    click_ns = 60e9 / bpm
    assert times.offsets_ns[0] == 0
    assert times.offsets_ns[1 + drill.anchor_step] == pytest.approx(click_ns, abs=2)
    assert times.beat_ns == pytest.approx(click_ns, abs=1)
    assert times.lasts_ns == pytest.approx(2 * click_ns, abs=1)
    assert len(times.offsets_ns) == len(times.lengths_ns) == 1 + len(drill.steps)
    assert all(length > 0 for length in times.lengths_ns)
    ends = [at + length for at, length in zip(times.offsets_ns, times.lengths_ns, strict=True)]
    assert ends == pytest.approx([*times.offsets_ns[1:], times.lasts_ns], abs=2)


@pytest.mark.parametrize("words", ["bubbly note from low G to low A", "G gracenote grip from low G to low A"])
def test_with_a_long_note_before_the_steps_still_take_a_click_at_most(words: str) -> None:
    """On either side of the beat: more room in the layout is for lead and theme, and not for a slower ornament."""
    drill, bpm = drill_from_words(words), Bpm(300.0)
    plain = make_segment(drill, bpm)
    longer = make_segment(drill, bpm, layout=read_layouts()["long note before"])
    assert longer.lengths_ns[1:-1] == plain.lengths_ns[1:-1]
