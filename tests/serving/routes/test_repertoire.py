"""The routes of the tunes that a player works on."""

from pathlib import Path

from tests.serving.played_seat import HandSource
from tests.serving.running_daemon import ask, served


def test_a_tune_that_is_worked_on_leads_the_proposal(tmp_path: Path) -> None:
    """Its ornaments come first, and the reason says so; left, the proposal is as before."""
    with served(tmp_path, [HandSource()]) as (page, _):
        before = ask(page, "GET", "api/proposal").json()["lines"]
        sent = {"tune": "seven-gulls", "performance": "2999-12-31"}
        assert ask(page, "POST", "api/repertoire", json=sent).json() == [sent]
        lines = ask(page, "GET", "api/proposal").json()["lines"]
        assert all("in Seven Gulls, which you play on 31 December 2999." in line["reason"] for line in lines)
        assert ask(page, "DELETE", "api/repertoire", params={"tune": "seven-gulls"}).json() == []
        assert ask(page, "GET", "api/proposal").json()["lines"] == before


def test_what_is_no_tune_or_no_day_is_refused(tmp_path: Path) -> None:
    """With the name that was meant, and how a day is written."""
    with served(tmp_path, [HandSource()]) as (page, _):
        wrong = ask(page, "POST", "api/repertoire", json={"tune": "seven-guls"})
        assert wrong.status_code == 422
        assert "seven-gulls" in wrong.json()["said"]
        day = ask(page, "POST", "api/repertoire", json={"tune": "seven-gulls", "performance": "next week"})
        assert day.json()["said"] == "'performance' is 'next week'; write the day as in 2026-12-31."
