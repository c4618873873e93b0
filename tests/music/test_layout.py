"""Layouts: how reps fall on the clicks, and what a wrong table's error says."""

from pathlib import Path

import pytest

from chanterd.config import ChanterdError, ConfigError
from chanterd.music.drill import drill_from_words
from chanterd.music.layout import find_layout, read_layouts, standard_layout
from chanterd.music.segment import make_segment
from chanterd.music.units import Bpm


def test_without_a_name_a_rep_is_two_clicks() -> None:
    """It starts on beat 0 and its ornament is on beat 1; the next one starts on beat 2."""
    layout = standard_layout()
    assert (layout.starts_at, layout.first_beat, layout.clicks) == (0, 1, 2)
    assert find_layout(None, read_layouts()) == layout


def test_every_layout_that_ships_has_the_ornament_on_a_click() -> None:
    """The ornament's own beat is a whole number of clicks from the first; so are all others, a rep being one too."""
    for layout in read_layouts().values():
        assert layout.first_beat.is_integer(), layout.name


def test_an_ornament_on_every_click_leaves_the_half_to_the_note_before() -> None:
    """At 60 the lead is on the half click, 500 ms before the beat, and the theme lasts as long."""
    times = make_segment(drill_from_words("grip from B to C"), Bpm(60), layout=read_layouts()["every click"])
    assert [at / 1e6 for at in times.offsets_ns] == [0, 340, 400, 440, 500]
    assert (times.lasts_ns, times.lengths_ns[-1]) == (1_000_000_000, 500_000_000)


def test_a_long_note_before_takes_two_clicks() -> None:
    """At 60 the ornament comes two seconds after its rep began."""
    times = make_segment(drill_from_words("grip from B to C"), Bpm(60), layout=read_layouts()["long note before"])
    assert times.offsets_ns[-1] == times.beat_ns == 2_000_000_000


def test_one_layout_goes_up_and_down_the_scale() -> None:
    """The others stay between two notes; a rep of it falls on the clicks as the first layout's does."""
    scale = [layout for layout in read_layouts().values() if layout.scale]
    assert [layout.name for layout in scale] == ["up and down the scale"]
    assert (scale[0].first_beat, scale[0].clicks) == (1, 2)


def test_a_misspelt_layout_is_guessed() -> None:
    """One sentence with the layouts there are."""
    with pytest.raises(ChanterdError, match=r"'evry click' is not known\. Did you mean 'every click'\?"):
        find_layout("evry click", read_layouts())


def test_all_mistakes_in_a_teachers_layouts_are_reported_at_once(tmp_path: Path) -> None:
    """Half a click too many, an ornament after the rep, one off the click, and a misspelt key."""
    (tmp_path / "layouts.toml").write_text(
        '[[layout]]\nname = "a"\nsaid = "A."\nclicks = 2.5\nornament = 1\n'
        '[[layout]]\nname = "b"\nsaid = "B."\nclicks = 2\nornament = 3\n'
        '[[layout]]\nname = "c"\nsaid = "C."\nclicks = 2\nornament = 0.5\nstart_at = 0\n'
    )
    with pytest.raises(ConfigError) as raised:
        read_layouts(tmp_path)
    said = str(raised.value)
    assert "layout 1: 'clicks' is 2.5; it must be a whole number from 1 to 16." in said
    assert "layout 2: 'ornament' is 3; it must be less than 'clicks', 2." in said
    assert "layout 3: 'start_at' is not known here. Did you mean 'starts_at'?" in said
    assert "layout 3: 'starts_at' and 'ornament' add up to no whole click" in said
