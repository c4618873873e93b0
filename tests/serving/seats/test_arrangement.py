"""How a classroom is arranged, between one start and the next."""

from pathlib import Path

import pytest

from chanterd.serving.seats.arrangement import FILE, Arranged, Arrangement, sound_delay_ms


def test_a_change_is_there_next_time(tmp_path: Path) -> None:
    """Each field on its own."""
    arrangement = Arrangement(tmp_path)
    arrangement.place("3", 7.5)
    arrangement.change(names="nothing", picture_m=3.0)
    assert Arrangement(tmp_path).now == Arranged(picture_m=3.0, names="nothing", seats_m={"3": 7.5})


def test_what_cannot_be_written_holds_until_the_end(tmp_path: Path, caplog: pytest.LogCaptureFixture) -> None:
    """A class goes on with a full disk; the log says it."""
    arrangement = Arrangement(tmp_path)
    (tmp_path / f"{FILE}.part").mkdir()
    arrangement.place("3", 7.5)
    assert arrangement.now.seats_m == {"3": 7.5}
    assert "it holds until chanterd ends" in caplog.text


@pytest.mark.parametrize("text", ["{", '{"picture_m": -1}', '{"seats_m": {"1": 1e9}}', '{"names": "ranks"}'])
def test_a_damaged_file_is_set_aside(tmp_path: Path, text: str) -> None:
    """The usual arrangement holds."""
    (tmp_path / FILE).write_text(text)
    assert Arrangement(tmp_path).now == Arranged()
    assert (tmp_path / f"{FILE}.damaged").read_text() == text


def test_sound_takes_three_milliseconds_a_metre() -> None:
    """2.9 ms at 20 degrees C: 1 m / 343 m/s (ISO 9613-1, from memory)."""
    assert round(sound_delay_ms(1.0), 1) == 2.9
    assert round(sound_delay_ms(12.0)) == 35
