"""Routes that are prepared when they are first asked for."""

import threading
from pathlib import Path
from typing import Any

import pytest

from chanterd.serving import app, late_route
from tests.quick_server import LOOP
from tests.serving.played_seat import HandSource
from tests.serving.running_daemon import ask, served


class Noted:
    """Notes in which thread something is made, and with which path."""

    def __init__(self) -> None:
        self.made: list[tuple[str, str]] = []

    def noting(self, make: Any) -> Any:
        """The same, noted."""

        def noted(*args: Any, **more: Any) -> Any:
            self.made.append((threading.current_thread().name, str(args[0]) if args else ""))
            return make(*args, **more)

        return noted


@pytest.fixture
def noted(monkeypatch: pytest.MonkeyPatch) -> Noted:
    """FastAPI's routes and its description of them, noted as they are made."""
    noted = Noted()
    monkeypatch.setattr(app, "READY_AFTER_S", 600.0)
    for name in ("APIRoute", "get_openapi"):
        monkeypatch.setattr(late_route, name, noted.noting(getattr(late_route, name)))
    return noted


def test_a_start_prepares_no_route_and_a_request_its_own(tmp_path: Path, noted: Noted) -> None:
    """Once each, and not in the loop that passes on what is heard."""
    with served(tmp_path, [HandSource()]) as (page, _):
        assert noted.made == []
        for _ in range(2):
            assert ask(page, "GET", "api/status").status_code == 200
        assert {path for _, path in noted.made} - {"/api/practice"} == {"/api/status"}
        assert "/api/practice" in ask(page, "GET", "openapi.json").json()["paths"]
    assert LOOP not in [thread for thread, _ in noted.made]


def test_a_wrong_method_is_refused_without_preparing_the_route(tmp_path: Path, noted: Noted) -> None:
    """With 405 (RFC 9110 section 15.5.6)."""
    with served(tmp_path, [HandSource()]) as (page, _):
        assert ask(page, "PUT", "api/status").status_code == 405
        assert noted.made == []


def test_many_first_requests_at_once_are_all_answered(tmp_path: Path) -> None:
    """A page asks for a dozen things as it opens."""
    paths = ["api/state", "api/status", "api/tunings", "api/players", "api/inputs", "api/plans"] * 3
    answers = []
    with served(tmp_path, [HandSource()]) as (page, _):
        threads = [threading.Thread(target=lambda one=one: answers.append(ask(page, "GET", one))) for one in paths]
        for one in threads:
            one.start()
        for one in threads:
            one.join()
    assert [one.status_code for one in answers] == [200] * len(paths)
