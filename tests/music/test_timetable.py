"""A drill in time: when each step of a rep is expected, at every tempo."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chanterd.config import ChanterdError, ConfigError, bundled
from chanterd.music.drill import Drill, all_drills, drill_from_words
from chanterd.music.grid import FASTEST_BPM, SLOWEST_BPM
from chanterd.music.layout import read_layouts
from chanterd.music.ornament import Kind
from chanterd.music.timetable import Spread, make_timetable, read_spread, standard_spread
from chanterd.music.units import NS_PER_MS, Bpm, Ms

DRILLS = list(all_drills())
SPREAD = Spread(held_of_click=0.06, held_at_least_ms=Ms(45), quick_of_click=0.04, quick_at_least_ms=Ms(30))


def offsets_ms(words: str, bpm: float) -> list[float]:
    """Expected onsets in ms from the start of the rep: the lead, each step, the theme."""
    return [at / NS_PER_MS for at in make_timetable(drill_from_words(words), Bpm(bpm), SPREAD).offsets_ns]


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
    times = make_timetable(drill, Bpm(bpm))
    click_ns = 60e9 / bpm
    assert times.offsets_ns[0] == 0
    assert times.offsets_ns[1 + drill.anchor_step] == pytest.approx(click_ns, abs=2)
    assert times.beat_ns == pytest.approx(click_ns, abs=1)
    assert times.rep_ns == pytest.approx(2 * click_ns, abs=1)
    assert len(times.offsets_ns) == len(times.lengths_ns) == 1 + len(drill.steps)
    assert all(length > 0 for length in times.lengths_ns)
    ends = [at + length for at, length in zip(times.offsets_ns, times.lengths_ns, strict=True)]
    assert ends == pytest.approx([*times.offsets_ns[1:], times.rep_ns], abs=2)


@pytest.mark.parametrize("words", ["bubbly note from low G to low A", "G gracenote grip from low G to low A"])
def test_with_a_long_note_before_the_steps_still_take_a_click_at_most(words: str) -> None:
    """On either side of the beat: more room in the layout is for lead and theme, and not for a slower ornament."""
    drill, bpm = drill_from_words(words), Bpm(300.0)
    plain = make_timetable(drill, bpm)
    longer = make_timetable(drill, bpm, layout=read_layouts()["long note before"])
    assert longer.lengths_ns[1:-1] == plain.lengths_ns[1:-1]


def test_the_shipped_spread_opens_held_steps_wider_than_quick_ones() -> None:
    """Held steps carry the rhythm, quick ones only articulate: common practice, no source."""
    for click_ns in (2e8, 1e9, 3e9):
        quick, held = (standard_spread().length_ns(kind, click_ns) for kind in (Kind.QUICK, Kind.HELD))
        assert 0 < quick < held


def test_a_hand_is_opened_and_closed_in_proportion() -> None:
    """Asked for twice the held step, quick ones double too; the floor in ms stays."""
    wide = SPREAD.opened(0.12)
    assert wide.held_of_click == 0.12
    assert wide.quick_of_click == pytest.approx(0.08)
    assert wide.held_at_least_ms == SPREAD.held_at_least_ms
    grip = make_timetable(drill_from_words("grip from B to C"), Bpm(60), wide)
    assert [at / NS_PER_MS for at in grip.offsets_ns] == [0, 680, 800, 880, 1000]


@pytest.mark.parametrize("wrong", [0.009, 0.31, 6, float("nan"), "0.1", True])
def test_a_spread_out_of_range_is_refused(wrong: object) -> None:
    """One sentence with the range, that guesses a percentage."""
    with pytest.raises(ChanterdError, match=r"from 0\.01 to 0\.3, such as 0\.06 \(did you mean a percentage\?\)"):
        SPREAD.opened(wrong)


def test_an_error_in_a_spread_lists_all_its_mistakes(tmp_path: Path) -> None:
    """A number out of range, a text for a number, a misspelt key and a table left out: all in one go."""
    path, known = tmp_path / "spread.toml", "Known are: of_click, at_least_ms."
    path.write_text('[held]\nof_click = 0.6\nat_least = 3\nat_least_ms = "45"\n[quik]\n')
    with pytest.raises(ConfigError) as caught:
        read_spread(path)
    assert sorted(str(caught.value).splitlines()) == [
        "spread.toml: file: 'quick' is missing; it must be a table, begun by a line [quick].",
        "spread.toml: file: 'quik' is not known here. Did you mean 'quick'? Known are: held, quick.",
        f"spread.toml: held: 'at_least' is not known here. Did you mean 'at_least_ms'? {known}",
        "spread.toml: held: 'at_least_ms' is '45'; it must be a number from 5 to 300, without quotes.",
        "spread.toml: held: 'of_click' is 0.6; it must be a number from 0.005 to 0.3.",
    ]


def test_a_number_in_place_of_a_table_is_reported(tmp_path: Path) -> None:
    """``held = 5`` is no crash: the sentence says how a table begins."""
    path = tmp_path / "spread.toml"
    path.write_text("held = 5\n[quick]\nof_click = 0.04\nat_least_ms = 30\n")
    with pytest.raises(
        ConfigError, match=r"spread\.toml: file: 'held' is 5; it must be a table, begun by a line \[held\]"
    ):
        read_spread(path)


def test_the_shipped_spread_is_read_whole() -> None:
    """What configs/spread.toml says is what is used."""
    assert read_spread(bundled("configs") / "spread.toml") == standard_spread() == SPREAD
