"""Past runs through tunes over HTTP: listed, looked at, heard again, taken away, deleted."""

import io
from collections.abc import Iterator

import mido
import pytest
from sqlalchemy import update

from chanterd.hearing.inputs import open_input
from chanterd.history.ledger import Ledger
from chanterd.history.schema import tune_results
from chanterd.history.store import open_store
from chanterd.history.tune_record import TunePartPlayed
from tests.history.played_tunes import simulated, tune_begun, tune_ended, tune_midi
from tests.history.practised_runs import noon, somebody
from tests.serving.running_daemon import ask, served

ONE = simulated()


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """A daemon whose history has three runs: one that is whole, one whose result is damaged, one that was cut off."""
    folder = tmp_path_factory.mktemp("data")
    store = open_store(None, folder)
    person, ledger = somebody(store), Ledger(store)
    ledger.write(tune_ended(person, ONE, wall=noon()))
    damaged = ledger.write(tune_ended(person, ONE, wall=noon(1)))
    ledger.write(TunePartPlayed(tune_begun(person, ONE, wall=noon(2)), 0, noon(2), tune_midi(ONE)))
    with store.writing() as connection:
        row = update(tune_results).where(tune_results.c.run_id == damaged)
        connection.execute(row.values(result=["no result of a run"]))
    store.close()
    with served(folder, [open_input("demo")]) as (address, _):
        yield address


def test_runs_are_listed_and_looked_at(page: str) -> None:
    """The newest first, of a kind that says so; one with every note."""
    rows = ask(page, "GET", "api/history/tunes?player=1").json()
    assert [one["run"] for one in rows] == [3, 2, 1]
    assert {one["kind"] for one in rows} == {"tune"}
    assert ask(page, "GET", "api/history/tunes?player=1&before=2").json() == rows[2:]
    assert ask(page, "GET", "api/history/tunes?player=1&tune=net-mender").json() == []
    whole = ask(page, "GET", "api/history/tunes/1").json()
    assert whole["run"] == rows[2]
    assert whole["notes"] == ONE.run().found()["notes"]
    assert whole["result"]["summary"] == ONE.run().found()["summary"]
    assert (whole["same"], whole["said"]) == (True, None)
    gone = ask(page, "GET", "api/history/tunes/99")
    assert gone.json()["said"] == "There is no run 99 through a tune; it may have been deleted."


@pytest.mark.parametrize("run", [2, 3])
def test_what_is_damaged_or_was_cut_off_is_judged_from_its_take(page: str, run: int) -> None:
    """So that nothing that was played is lost."""
    whole = ask(page, "GET", f"api/history/tunes/{run}").json()
    before = ONE.run().found()
    assert [one["state"] for one in whole["notes"]] == [one["state"] for one in before["notes"]]
    assert whole["run"]["clean"] == before["summary"]["clean"]
    assert whole["said"] is None


def test_a_take_is_heard_and_taken_away(page: str) -> None:
    """As notes in seconds, and as a MIDI file that the mido package reads."""
    heard = ask(page, "GET", "api/history/tunes/1/heard").json()
    sounding = [one for one in heard["notes"] if one["note"] is not None]
    assert len(sounding) == len(ONE.performance.truth)
    assert heard["clicks"]
    answer = ask(page, "GET", "api/history/tunes/1/take.mid")
    assert 'filename="tune-run-1.mid"' in answer.headers["content-disposition"]
    assert mido.MidiFile(file=io.BytesIO(answer.content)).length > 5


def test_one_is_deleted(page: str) -> None:
    """It is gone from the list; again is refused."""
    ask(page, "DELETE", "api/history/tunes/3").raise_for_status()
    assert [one["run"] for one in ask(page, "GET", "api/history/tunes?player=1").json()] == [2, 1]
    assert ask(page, "DELETE", "api/history/tunes/3").status_code == 422
