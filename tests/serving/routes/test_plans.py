"""The routes of plans, over HTTP."""

from collections.abc import Iterator

import pytest

from tests.serving.played_seat import HandSource
from tests.serving.running_daemon import ask, served


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of a daemon with one chanter."""
    with served(tmp_path_factory.mktemp("data"), [HandSource()]) as (page, _):
        yield page


def test_plans_are_listed(page: str) -> None:
    """The two that ship, each with its parts in words."""
    plans = ask(page, "GET", "api/plans").json()
    assert [plan["key"] for plan in plans] == ["lighthouse-class", "quarry-hollow"]
    assert plans[0]["parts"][0]["how_long"] == "2 minutes"


def test_a_plan_is_begun_paused_gone_on_with_skipped_and_stopped(page: str) -> None:
    """Each answers with the state of the plan then."""
    begun = ask(page, "POST", "api/session", {"plan": "lighthouse-class"}).json()
    assert (begun["state"], begun["part"], begun["paused"]) == ("between", 0, False)
    assert ask(page, "POST", "api/session/pause").json()["paused"] is True
    assert ask(page, "POST", "api/session/go-on").json()["paused"] is False
    assert ask(page, "POST", "api/session/skip").json()["part"] == 1
    assert ask(page, "GET", "api/state").json()["seats"][0]["session"]["part"] == 1
    assert ask(page, "DELETE", "api/session").json()["state"] == "stopped"


@pytest.mark.parametrize("method", ["POST", "DELETE"])
def test_without_a_plan_there_is_nothing_to_pause_or_stop(page: str, method: str) -> None:
    """One sentence says so, and how to begin one."""
    path = "api/session/pause" if method == "POST" else "api/session"
    answer = ask(page, method, path)
    assert answer.status_code == 422
    assert answer.json()["said"].startswith("No plan is running; start one first")


def test_an_unknown_plan_is_guessed(page: str) -> None:
    """A plan that is misspelt is refused with the one that was meant."""
    answer = ask(page, "POST", "api/session", {"plan": "lighthouse-clas"})
    assert "Did you mean 'lighthouse-class'?" in answer.json()["said"]
