"""Past free playing over HTTP: a recording is kept, its runs are listed, looked at, taken away, deleted."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from chanterd.hearing.inputs import open_input
from tests.assessing.test_take_import import DRILL, FREE, written
from tests.listening.test_tunes import notes
from tests.serving.running_daemon import ask, served


@pytest.fixture
def page(tmp_path: Path) -> Iterator[str]:
    """A daemon with an empty history."""
    with served(tmp_path, [open_input("demo")]) as (address, _):
        yield address


def test_what_is_in_a_recording_is_kept_looked_at_and_deleted(page: str, tmp_path: Path) -> None:
    """As runs of whoever sits there, dated by when the recording ended."""
    path = written(tmp_path / "lesson.mid", DRILL, FREE, notes("net-mender"), FREE)
    where = "api/listen/keep?name=lesson.mid&ended_ms=1773140000000"
    kept = ask(page, "POST", where, content=path.read_bytes()).json()
    assert [one["kind"] for one in kept] == ["drill", "free", "tune", "free"]
    rows = ask(page, "GET", "api/history/free?player=1").json()
    assert [(one["kind"], one["run"], one["day"]) for one in rows] == [
        ("free", 2, "2026-03-10"),
        ("free", 1, "2026-03-10"),
    ]
    assert ask(page, "GET", "api/history/free?player=1&before=2").json() == rows[1:]
    whole = ask(page, "GET", "api/history/free/1").json()
    assert whole["run"] == rows[1]
    assert whole["ornaments"][0]["drill"] == "doubling from low A to C"
    part = ask(page, "GET", "api/history/free/1/take.mid").content
    again = ask(page, "POST", "api/listen?name=part.mid", content=part)
    assert [one["drill"] for one in again.json()["ornaments"]] == [one["drill"] for one in whole["ornaments"]]
    assert ask(page, "DELETE", "api/history/free/1").status_code == 200
    assert "may have been deleted" in ask(page, "GET", "api/history/free/1").json()["said"]
    assert [one["runs"] for one in ask(page, "GET", "api/players").json()] == [3]


def test_a_recording_without_an_ornament_is_refused(page: str, tmp_path: Path) -> None:
    """With its name."""
    path = written(tmp_path / "take.mid", "B700 c700 e700 A700")
    answer = ask(page, "POST", "api/listen/keep?name=take.mid", content=path.read_bytes())
    assert answer.status_code == 422
    assert answer.json()["said"] == "There is no ornament in 'take.mid', so there is nothing to keep."
