"""How long steps are to be: opened and closed in proportion, and what a wrong table's error says."""

from pathlib import Path

import pytest

from chanterd.config import ChanterdError, ConfigError, bundled
from chanterd.music.drill import drill_from_words
from chanterd.music.ornament import Kind
from chanterd.music.segment import make_segment
from chanterd.music.spread import Spread, read_spread, standard_spread
from chanterd.music.units import NS_PER_MS, Bpm, Ms

SPREAD = Spread(held_of_click=0.06, held_at_least_ms=Ms(45), quick_of_click=0.04, quick_at_least_ms=Ms(30))


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
    grip = make_segment(drill_from_words("grip from B to C"), Bpm(60), wide)
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
