"""Routes about what was practised, through a real server."""

import csv
import io
import zipfile
from collections.abc import Iterator

import mido
import pytest

from chanterd.hearing.track import whole_take
from chanterd.history.ledger import Ledger
from chanterd.history.record import RepsClosed
from tests.history.practised_runs import GRIP, begun, judged, noon, played, practise, somebody
from tests.serving.played_seat import HandSource
from tests.serving.running_daemon import ask, served

OFFS_MS = [4.0, 90.0]


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """A daemon with three runs: Ailsa's (number 2) first, with a take, and a later one; and Rory's."""
    with served(tmp_path_factory.mktemp("data"), [HandSource()]) as (page, daemon):
        store = daemon.history.store
        ailsa = somebody(store)
        run = begun(ailsa)
        midi = whole_take(played(GRIP, OFFS_MS), 60.0)
        Ledger(store).write(RepsClosed(run, judged(GRIP, OFFS_MS), run.wall, midi, whole=True))
        practise(store, ailsa, [4.0], wall=noon(1))
        practise(store, somebody(store, "Rory"), [4.0])
        yield page


def test_runs_are_listed_newest_first(page: str) -> None:
    """One player's, with what was asked and what came of it."""
    shown = ask(page, "GET", "api/history/runs?player=2").json()
    assert [(run["run"], run["day"]) for run in shown] == [(2, "2026-04-01"), (1, "2026-03-31")]
    assert (shown[1]["way"]["drill"], shown[1]["played"], shown[1]["clean"]) == (GRIP, 2, 1)
    assert len(ask(page, "GET", "api/history/runs?player=2&most=1").json()) == 1
    assert ask(page, "GET", "api/history/runs?player=2&before=2").json() == shown[1:]


def test_a_run_comes_with_its_reps(page: str) -> None:
    """As they were judged."""
    shown = ask(page, "GET", "api/history/runs/1").json()
    assert shown["reps"] == judged(GRIP, OFFS_MS)


def test_a_take_is_a_file_to_save(page: str) -> None:
    """That mido reads."""
    answer = ask(page, "GET", "api/history/runs/1/take.mid")
    assert answer.headers["content-disposition"] == 'attachment; filename="run-1.mid"'
    assert mido.MidiFile(file=io.BytesIO(answer.content)).length > 0


def test_everything_comes_as_json_or_as_tables_in_a_zip(page: str) -> None:
    """Everybody's, or one player's."""
    shown = ask(page, "GET", "api/history/export?format=json").json()
    assert len(shown["runs"]) == 3
    archive = zipfile.ZipFile(io.BytesIO(ask(page, "GET", "api/history/export?format=csv&player=2").content))
    assert archive.testzip() is None
    with archive.open("runs.csv") as member:
        rows = list(csv.DictReader(io.TextIOWrapper(member, "utf-8-sig", newline="")))
    assert [row["player_id"] for row in rows] == ["2", "2"]


@pytest.mark.parametrize(
    ("path", "said"),
    [
        ("api/history/runs?player=2&before=99", "There is no run 99"),
        ("api/history/runs/99", "There is no run 99"),
        (f"api/history/runs/{10**20}", "it must be 9223372036854775807 at most"),
        (f"api/history/runs?player={10**20}", "it must be 9223372036854775807 at most"),
        (f"api/history/export?format=json&player={10**20}", "it must be 9223372036854775807 at most"),
        (f"api/progress?player={10**20}", "it must be 9223372036854775807 at most"),
        ("api/history/runs/99/take.mid", "There is no run 99"),
        ("api/history/runs/2/take.mid", "has no take"),
        ("api/history/export?format=xml", "must be csv or json"),
    ],
)
def test_what_is_missing_is_named_in_the_answer(page: str, path: str, said: str) -> None:
    """In a sentence."""
    answer = ask(page, "GET", path)
    assert answer.status_code == 422
    assert said in answer.json()["said"]


def test_a_run_is_deleted_for_good(page: str) -> None:
    """The others stay."""
    assert ask(page, "DELETE", "api/history/runs/3").status_code == 200
    assert ask(page, "GET", "api/history/runs/3").status_code == 422
    assert ask(page, "GET", "api/history/runs/1").status_code == 200
