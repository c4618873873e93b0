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


def test_a_plan_is_made_read_changed_and_deleted(page: str) -> None:
    """Over HTTP: what is made is listed as one's own, can be started, and is gone when it is deleted."""
    part = {"drill": "birl from E", "warm_up": True, "click_bpm": 60, "minutes": 2}
    made = ask(page, "POST", "api/plans", {"plan": {"name": "Short", "said": "Two minutes.", "part": [part]}}).json()
    assert (made["key"], made["own"], made["parts"][0]["how_long"]) == ("short", True, "2 minutes")
    read = ask(page, "GET", "api/plans/short").json()
    changed = {"plan": {**read["plan"], "part": [part, {**part, "minutes": 3}]}, "version": read["version"]}
    assert len(ask(page, "PUT", "api/plans/short", changed).json()["parts"]) == 2
    assert [plan["own"] for plan in ask(page, "GET", "api/plans").json()] == [False, False, True]
    stale = ask(page, "DELETE", "api/plans/short", params={"version": read["version"]})
    assert (stale.status_code, "changed elsewhere" in stale.json()["said"]) == (422, True)
    now = ask(page, "GET", "api/plans/short").json()["version"]
    assert ask(page, "DELETE", "api/plans/short", params={"version": now}).status_code == 204
    assert len(ask(page, "GET", "api/plans").json()) == 2


def test_mistakes_in_a_plan_are_said_each_with_its_place(page: str) -> None:
    """All of them at once, as the form shows them; a plan of the largest size is no larger than a body may be."""
    body = {"plan": {"name": "", "said": "x", "part": [{"drill": "birl from E", "warm_up": True, "minutes": 99}]}}
    answer = ask(page, "POST", "api/plans", body)
    assert answer.status_code == 422
    assert [(one["where"], one["field"]) for one in answer.json()["mistakes"]] == [
        ("file", "name"),
        ("part 1", "minutes"),
        ("part 1", "click_bpm"),
    ]
    part = {"drill": "birl from E", "warm_up": True, "minutes": 99, "click_bpm": 60, "title": "x" * 80}
    longest = ask(page, "POST", "api/plans", {"plan": {"name": "x", "said": "x", "part": [part] * 100}})
    assert longest.status_code == 422


def test_a_plan_within_plans_within_plans_is_refused(page: str) -> None:
    """Without an internal error, however deep."""
    deep: dict[str, object] = {}
    for _ in range(400):
        deep = {"part": deep}
    answer = ask(page, "POST", "api/plans", {"plan": deep})
    assert (answer.status_code, "too deep" in answer.json()["said"]) == (422, True)
