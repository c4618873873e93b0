"""The routes of the progress view, through a real server."""

import threading
from pathlib import Path
from typing import Any

import pytest

from chanterd.history.players import player_of
from chanterd.progress.progress import progress_of
from chanterd.serving.daemon import Daemon
from tests.history.practised_runs import practise, somebody
from tests.progress.simulated_history import practise_days
from tests.quick_server import LOOP
from tests.serving.played_seat import HandSource
from tests.serving.running_daemon import ask, served


def sitting(daemon: Daemon) -> Any:
    """Whoever sits at the only chanter."""
    with daemon.history.store.reading() as connection:
        return player_of(connection, daemon.seats["1"].player.number)


def test_progress_is_that_of_whoever_sits_there(tmp_path: Path) -> None:
    """Left out, the player at the only chanter; by number, anybody."""
    with served(tmp_path, [HandSource()]) as (page, daemon):
        practise_days(daemon.history.store, sitting(daemon), 30)
        other = somebody(daemon.history.store, "Isla")
        practise(daemon.history.store, other, [0.0] * 3)
        shown = ask(page, "GET", "api/progress").json()
        assert shown["name"] == "Player 1"
        assert shown["played"] > 1000
        assert {"drill", "tempo", "placement"} <= shown["shown"].keys()
        theirs = ask(page, "GET", f"api/progress?player={other.number}").json()
        assert (theirs["name"], theirs["played"], theirs["simulated"]) == ("Isla", 3, True)


def test_span_row_and_drill_can_be_chosen(tmp_path: Path) -> None:
    """By the same words as everywhere."""
    with served(tmp_path, [HandSource()]) as (page, daemon):
        practise_days(daemon.history.store, sitting(daemon), 30)
        asked = "from=2026-03-25&to=2026-03-31&in_a_row=10&drill=birl from E"
        shown = ask(page, "GET", f"api/progress?{asked}").json()
        assert "2026-03-25" <= shown["first_day"] <= shown["last_day"] <= "2026-03-31"
        assert (shown["in_a_row"], shown["shown"]["drill"]) == (10, "birl from E")


def test_the_report_comes_in_words(tmp_path: Path) -> None:
    """The same that the command line prints."""
    with served(tmp_path, [HandSource()]) as (page, daemon):
        practise_days(daemon.history.store, sitting(daemon), 30)
        shown = ask(page, "GET", "api/report?from=2026-03-01&to=2026-03-31").json()
        assert (shown["name"], shown["days"]) == ("Player 1", "1 March to 31 March 2026")
        assert shown["sections"][-1]["heading"] == "Take care"


def test_what_cannot_be_shown_is_refused_in_a_sentence(tmp_path: Path) -> None:
    """Days that are none, rows of none, players that are not there."""
    with served(tmp_path, [HandSource()]) as (page, _):
        for words, said in [
            ("from=yesterday", "'from' is 'yesterday'"),
            ("from=2026-03-31&to=2026-03-01", "did you swap them?"),
            ("in_a_row=0", "'in_a_row' is '0'"),
            ("player=9", "There is no player number 9"),
            ("drill=birl from E", "was not practised in these days"),
        ]:
            answer = ask(page, "GET", f"api/progress?{words}")
            assert answer.status_code == 422
            assert said in answer.json()["said"]


def test_the_history_is_read_beside_the_event_loop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A note that comes in while years are summed up must not wait for them."""
    seen: list[str] = []

    def watched(*asked: Any) -> Any:
        seen.append(threading.current_thread().name)
        return progress_of(*asked)

    monkeypatch.setattr("chanterd.serving.routes.progress.progress_of", watched)
    with served(tmp_path, [HandSource()]) as (page, _):
        assert ask(page, "GET", "api/progress").status_code == 200
    assert seen != []
    assert LOOP not in seen
