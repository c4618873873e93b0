"""The routes of sheets, over a real socket."""

import json
import multiprocessing
import time
from base64 import b64decode
from collections.abc import Iterator

import httpx
import pytest

from tests.serving.played_seat import HandSource
from tests.serving.running_daemon import PATIENCE_S, ask, served


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of a daemon."""
    with served(tmp_path_factory.mktemp("data"), [HandSource()]) as (page, _):
        yield page


def test_a_sheet_is_a_pdf(page: str) -> None:
    """Asked for as the page asks; what cannot be had is one sentence."""
    sheet = ask(page, "POST", "api/sheet", {"drills": ["grip from B to C"], "stages": True, "tempo": "60-80"})
    assert sheet.headers["content-type"] == "application/pdf"
    assert sheet.content.startswith(b"%PDF")
    refused = ask(page, "POST", "api/sheet", {"drills": ["grip from B to C"], "paper": "a5"})
    assert refused.status_code == 422
    assert "a4" in refused.json()["said"]


def test_a_sheet_that_takes_long_shows_its_progress(page: str) -> None:
    """A line each time, from nothing known to nearly all, and the PDF in the last."""
    asked = {"drills": ["grip"], "stages": True}
    with httpx.stream("POST", f"{page}api/sheet/progress", json=asked, timeout=PATIENCE_S) as answer:
        lines = [json.loads(line) for line in answer.iter_lines()]
    *shown, last = lines
    assert b64decode(last["pdf"]).startswith(b"%PDF")
    done = [one["done"] for one in shown]
    assert len({*done}) > 2
    assert done == sorted(done)
    assert {one["of"] for one in shown} == {0, 2 * 46}


def test_a_refusal_is_the_last_line(page: str) -> None:
    """In the daemon's own words; what is no request at all is refused as everywhere."""
    answer = ask(page, "POST", "api/sheet/progress", {"drills": ["grip"], "paper": "a5"})
    assert json.loads(answer.text.splitlines()[-1])["said"].startswith("The paper is 'a5'")
    assert ask(page, "POST", "api/sheet/progress", {"drills": []}).status_code == 422


def test_hanging_up_stops_the_work(page: str) -> None:
    """A page that was closed leaves no process behind, and the next sheet is made."""
    with httpx.stream("POST", f"{page}api/sheet/progress", json={"drills": ["from"]}, timeout=PATIENCE_S) as answer:
        next(line for line in answer.iter_lines() if json.loads(line)["of"])
        assert multiprocessing.active_children()
    end_s = time.monotonic() + PATIENCE_S
    while multiprocessing.active_children() and time.monotonic() < end_s:
        time.sleep(0.05)
    assert multiprocessing.active_children() == []
    assert ask(page, "POST", "api/sheet", {"drills": ["birl from E"]}).content.startswith(b"%PDF")
