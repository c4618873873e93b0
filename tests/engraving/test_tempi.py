"""Tempi in words."""

import pytest

from chanterd.config import ChanterdError
from chanterd.engraving.tempi import Tempi, tempi_from_words
from chanterd.music.units import Bpm


@pytest.mark.parametrize(
    ("words", "tempi"),
    [
        ("", ()),
        ("60", (60,)),
        ("60-80", (60, 65, 70, 75, 80)),
        ("60 to 80", (60, 65, 70, 75, 80)),
        ("60-72", (60, 65, 70, 72)),
        ("60-80 by 4", (60, 64, 68, 72, 76, 80)),
        ("60, 66,72", (60, 66, 72)),
        ("60-70, 70-90 by 10", (60, 65, 70, 80, 90)),
        ("28.4-30.8 by 1.2", (28.4, 29.6, 30.8)),
        ("20-41.6 by 7.2", (20, 27.2, 34.4, 41.6)),
        ("72.5", (72.5,)),
        ("80-80", (80,)),
    ],
)
def test_words_for_tempi(words: str, tempi: tuple[Bpm, ...]) -> None:
    """A range goes up by 5 or as it says and ends where it says; each tempo has one box."""
    assert tempi_from_words(words) == Tempi(tempi, "clicks")


@pytest.mark.parametrize(
    ("words", "numbers", "unit"),
    [
        ("60-70 beats", (60, 65, 70), "beats"),
        ("60, 66 beats a minute", (60, 66), "beats"),
        ("60 Beats", (60,), "beats"),
        ("60 clicks", (60,), "clicks"),
        ("", (), "clicks"),
    ],
)
def test_tempi_are_clicks_or_beats(words: str, numbers: tuple[Bpm, ...], unit: str) -> None:
    """A metronome often clicks twice to the beat, so the sheet must say which it means."""
    assert tempi_from_words(words) == Tempi(numbers, unit)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("fast", r"^The tempo 'fast' is not understood; say it as '60-80'"),
        ("60-", r"^The tempo '60-' is not understood"),
        ("80-60", r"^The tempo '80-60' goes from 80 to 60 by 5; it must rise"),
        ("60-80 by 0", r"in steps of at least 1\.$"),
        ("10-80", r"from 20 to 300"),
        ("60-800", r"from 20 to 300"),
        ("nan", r"is not understood"),
    ],
)
def test_other_words_are_refused(words: str, said: str) -> None:
    """What was said, what is allowed, how to say it."""
    with pytest.raises(ChanterdError, match=said):
        tempi_from_words(words)
