"""How much a request may send: 413 (RFC 9110 section 15.5.14, from memory), whichever way it comes."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from chanterd.hearing.inputs import open_input
from chanterd.serving.bounds import LONG_BODIES, MOST_BODY
from tests.serving.running_daemon import ask, served

MB = 1_000_000


@pytest.fixture
def page(tmp_path: Path) -> Iterator[str]:
    """A daemon that serves."""
    with served(tmp_path, [open_input("demo")]) as (page, _):
        yield page


@pytest.mark.parametrize(
    ("method", "path"),
    [
        ("POST", "api/practice"),
        ("POST", "api/players"),
        ("POST", "api/players/1"),
        ("POST", "api/input"),
        ("POST", "api/sheet"),
        ("POST", "api/sheet/progress"),
        ("DELETE", "api/practice"),
        ("POST", "nothing/here"),
    ],
)
def test_a_body_that_announces_too_much_is_refused_everywhere(page: str, method: str, path: str) -> None:
    """Whatever it holds; the next request is answered as ever."""
    answer = ask(page, method, path, content=b'{"drill": "' + b"x" * MB + b'"}')
    assert answer.status_code == 413
    assert "send less" in answer.json()["said"]
    assert answer.headers["x-content-type-options"] == "nosniff"
    assert ask(page, "GET", "api/state").status_code == 200


@pytest.mark.parametrize("path", ["api/practice", "api/seat", "api/sheet", "api/sheet/progress"])
def test_a_body_in_chunks_is_refused_as_soon_as_it_is_too_long(page: str, path: str) -> None:
    """No length is announced; most of it is never kept."""

    def chunks() -> Iterator[bytes]:
        for _ in range(50):
            yield b" " * 20_000

    answer = ask(page, "POST", path, content=chunks(), headers={"content-type": "application/json"})
    assert answer.status_code == 413
    assert "send less" in answer.json()["said"]


def test_a_body_just_within_its_bound_is_read(page: str) -> None:
    """Spaces after the JSON count; one more byte is one too many."""
    body = b'{"drill": "grip from B to C", "click_bpm": 60}'
    headers = {"content-type": "application/json"}
    assert ask(page, "POST", "api/practice", content=body.ljust(MOST_BODY), headers=headers).status_code == 200
    assert ask(page, "POST", "api/practice", content=body.ljust(MOST_BODY + 1), headers=headers).status_code == 413


def test_a_sheet_of_the_most_drills_is_within_its_bound() -> None:
    """Two thousand drills of the longest usual names, some 50 letters each."""
    assert all(most >= 2000 * 60 for most in LONG_BODIES.values())


def test_of_thousands_of_unknown_fields_the_first_are_said(page: str) -> None:
    """A guess at what each was meant to be would hold up whoever plays."""
    answer = ask(page, "POST", "api/sheet", {f"k{number}": 1 for number in range(5000)})
    assert answer.status_code == 422
    assert len(answer.json()["said"].splitlines()) < 25
    assert answer.json()["said"].splitlines()[-1].startswith("And ")
