"""The routes below /api/, which load behind the page."""

import threading
from pathlib import Path
from typing import Any

import pytest
from fastapi import FastAPI

from chanterd.serving import api, app
from tests.quick_server import LOOP
from tests.serving.played_seat import HandSource
from tests.serving.running_daemon import ask, served, wait_until


@pytest.fixture
def threads(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Where the application of these routes was made, once for each time; not by itself, since the time is far off."""
    threads: list[str] = []
    make_api = api.make_api

    def noted(*args: Any) -> FastAPI:
        threads.append(threading.current_thread().name)
        return make_api(*args)

    monkeypatch.setattr(api, "make_api", noted)
    monkeypatch.setattr(app, "READY_AFTER_S", 600.0)
    return threads


def test_they_load_when_one_of_them_is_asked_for(tmp_path: Path, threads: list[str]) -> None:
    """What a page needs to draw itself is there without them; the first request brings them all, on a thread."""
    with served(tmp_path, [HandSource()]) as (page, _):
        assert ask(page, "GET", "api/state").status_code == 200
        assert ask(page, "GET", "api/grant").status_code == 200
        assert threads == []
        assert [ask(page, "GET", one).status_code for one in ("api/tunings", "api/inputs")] == [200, 200]
        assert len(threads) == 1
    assert LOOP not in threads


def test_the_page_brings_them_before_they_are_asked_for(tmp_path: Path, threads: list[str]) -> None:
    """So that the first click does not wait for them."""
    with served(tmp_path, [HandSource()]) as (page, _):
        assert threads == []
        ask(page, "GET", "")
        wait_until(lambda: len(threads) == 1)


def test_they_load_soon_without_a_page_too(tmp_path: Path, threads: list[str], monkeypatch: pytest.MonkeyPatch) -> None:
    """Before somebody plays: with few descriptors left, a module could not be read in the middle of a run."""
    monkeypatch.setattr(app, "READY_AFTER_S", 0.0)
    with served(tmp_path, [HandSource()]):
        wait_until(lambda: len(threads) == 1)


@pytest.mark.parametrize(("path", "status"), [("api/practise", 404), ("api/seats/x/y", 404), ("apis", 404)])
def test_what_is_not_there_is_said_there_too(tmp_path: Path, path: str, status: int) -> None:
    """In the same words as elsewhere, with the whole path."""
    with served(tmp_path, [HandSource()]) as (page, _):
        answer = ask(page, "GET", path)
    assert answer.status_code == status
    assert f"'/{path}'" in answer.json()["said"]
