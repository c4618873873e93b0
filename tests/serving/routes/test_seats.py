"""Seats over HTTP."""

from pathlib import Path

import pytest

from chanterd.hearing.ports import PortName
from chanterd.serving import daemon as daemon_module
from tests.serving.played_seat import HandSource
from tests.serving.running_daemon import Viewing, ask, served


def test_a_seat_is_added_and_taken_away(tmp_path: Path) -> None:
    """The answer is the seat as in the state; every page gets a frame."""
    with served(tmp_path, [HandSource("one")]) as (page, _), Viewing(page) as viewing:
        seat = ask(page, "POST", "api/seats", {"input": "demo", "name": "Ailsa"}).json()
        assert (seat["seat"], seat["name"], seat["chanter"]["input"]) == ("2", "Ailsa", "demo")
        assert [one["seat"] for one in viewing.wait_for_kind("seats")["seats"]] == ["1", "2"]
        assert [one["seat"] for one in ask(page, "DELETE", "api/seats/2").json()] == ["1"]
        assert [one["seat"] for one in ask(page, "GET", "api/state").json()["seats"]] == ["1"]


def test_what_cannot_be_is_refused_in_a_sentence(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A port that is not there or is taken, a seat that is none, a name that is none; nothing changes."""
    monkeypatch.setattr(daemon_module, "list_ports", lambda: [PortName("ALSA", "one"), PortName("ALSA", "two")])
    with served(tmp_path, [HandSource("one"), HandSource("two")]) as (page, _):
        for method, path, body, said in (
            ("POST", "api/seats", {"input": "green"}, "The input 'green' is not there now"),
            ("POST", "api/seats", {"input": "raw:/dev/midi1"}, "is not there now"),
            ("POST", "api/seats", {"input": "two"}, "Seat 2 (Player 2) listens to 'two' already"),
            ("POST", "api/seats", {"input": "demo", "name": "\n"}, "name"),
            ("POST", "api/input", {"input": "two", "seat": "1"}, "Seat 2 (Player 2) listens to 'two' already"),
            ("DELETE", "api/seats/9", None, "The field 'seat' is '9'"),
        ):
            answer = ask(page, method, path, body)
            assert (answer.status_code, said in answer.json()["said"]) == (422, True), answer.text
        assert len(ask(page, "GET", "api/state").json()["seats"]) == 2
