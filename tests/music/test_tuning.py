"""Tunings, against the published ratios and cents."""

from math import log2
from pathlib import Path

import pytest

from chanterd.config import ConfigError
from chanterd.music.note import Note
from chanterd.music.tuning import read_tunings


def cents(name: str) -> list[float]:
    """Each note's distance from low A in cents."""
    hz = read_tunings()[name].hz
    return [round(1200 * log2(one / hz[Note.LOW_A]), 1) for one in hz]


def test_the_measured_tuning_has_the_published_ratios() -> None:
    """Lenihan and MacNeill, Acustica 4 (1954): low G 8/9 … D 27/20 … high G 9/5; cents computed from the ratios."""
    assert cents("measured in the 1950s") == pytest.approx(
        [-203.9, 0, 203.9, 386.3, 519.6, 702.0, 884.4, 1017.6, 1200], abs=0.1
    )


def test_the_present_tuning_has_a_pure_fourth_and_a_harmonic_seventh() -> None:
    """The harmonic set (E. Macpherson 1998): low G 7/8, D 4/3, high G 7/4; at low A 480, low G is 420 and D 640 Hz."""
    assert cents("present day") == pytest.approx([-231.2, 0, 203.9, 386.3, 498.0, 702.0, 884.4, 968.8, 1200], abs=0.1)
    hz = read_tunings()["present day"].hz
    assert (hz[Note.LOW_G], hz[Note.D], hz[Note.HIGH_G]) == (420.0, 640.0, 840.0)


def test_equal_temperament_is_a_pianos() -> None:
    """ISO 16: A is 440 Hz; the written low A sounds the B flat above it."""
    assert cents("equal temperament") == [-200, 0, 200, 400, 500, 700, 900, 1000, 1200]
    assert read_tunings()["equal temperament"].hz[Note.LOW_A] == pytest.approx(440 * 2 ** (1 / 12), abs=0.001)


def test_a_teachers_own_tuning_joins_the_others(tmp_path: Path) -> None:
    """A file in the data folder adds to the bundled ones."""
    row = "\n".join(f'"{note.words}" = "{8 + note}/9"' for note in Note)
    (tmp_path / "tunings.toml").write_text(
        f'[[tuning]]\nname = "mine"\nsaid = "Mine."\nlow_a_hz = 470\n[tuning.ratios]\n{row}'
    )
    assert {"mine", "present day"} <= {*read_tunings(tmp_path)}


def test_all_mistakes_are_reported_at_once(tmp_path: Path) -> None:
    """A misspelt note, a ratio that is none and a frequency out of range, each with the mend."""
    (tmp_path / "tunings.toml").write_text(
        '[[tuning]]\nname = "mine"\nsaid = "Mine."\nlow_a_hz = 4800\n[tuning.ratios]\n"lowG" = "9/8"\n"B" = "9:8"\n'
    )
    with pytest.raises(ConfigError) as raised:
        read_tunings(tmp_path)
    said = str(raised.value)
    assert "'lowG' is not a note of the chanter. Did you mean 'low G'?" in said
    assert "'9:8' must be a ratio over low A in quotes from 1/2 to 5/2" in said
    assert "'low_a_hz' is 4800; it must be a number from 200 to 1000" in said


@pytest.mark.parametrize("ratio", ["1e999999999", "1E9", "9" * 5000, "1/0", "nan", "9/8" + "0" * 5000, ""])
def test_a_ratio_that_is_none_takes_no_time(tmp_path: Path, ratio: str) -> None:
    """A power of ten with nine digits would be worked out for hours."""
    row = "\n".join(f'"{note.words}" = "{ratio}"' for note in Note)
    (tmp_path / "tunings.toml").write_text(
        f'[[tuning]]\nname = "mine"\nsaid = "Mine."\nlow_a_hz = 470\n[tuning.ratios]\n{row}'
    )
    with pytest.raises(ConfigError, match=r"'low G': .* must be a ratio over low A in quotes from 1/2 to 5/2"):
        read_tunings(tmp_path)
