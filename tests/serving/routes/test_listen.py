"""Taking a recording apart, and starting what is offered, over the network."""

from collections.abc import Iterator
from pathlib import Path

import httpx
import pytest

from tests.serving.played_seat import HandSource
from tests.serving.running_daemon import PATIENCE_S, ask, served
from tests.written_takes import write


@pytest.fixture
def page(tmp_path: Path) -> Iterator[str]:
    """The address of a daemon with one chanter played by hand."""
    with served(tmp_path, [HandSource()]) as (page, _):
        yield page


def test_a_recording_is_taken_apart(page: str, tmp_path: Path) -> None:
    """The body is the file; the answer is that of the command line."""
    grip = ((0.0, "B"), (840.0, "low G"), (900.0, "D"), (940.0, "low G"), (1000.0, "C"))
    playing: list[tuple[float, str | None]] = [(2000.0 * rep + at, note) for rep in range(5) for at, note in grip]
    path = write(tmp_path / "take.mid", [*playing, (10_000.0, None)])
    found = httpx.post(f"{page}api/listen?name=take.mid", content=path.read_bytes(), timeout=PATIENCE_S).json()
    assert [one["drill"] for one in found["ornaments"]] == ["grip from B to C"] * 5
    assert [(one["kind"], round(one["click_bpm"])) for one in found["passages"]] == [("drill", 60)]


def test_what_is_no_recording_is_refused_by_its_name(page: str) -> None:
    """In a sentence for a person."""
    answer = httpx.post(f"{page}api/listen?name=photo.mid", content=b"not music", timeout=PATIENCE_S)
    assert answer.status_code == 422
    assert "photo.mid" in answer.json()["said"]


def test_with_nothing_repeated_there_is_nothing_to_start(page: str) -> None:
    """And the answer says what to do."""
    answer = ask(page, "POST", "api/offer", {})
    assert answer.status_code == 422
    assert "three times" in answer.json()["said"]
