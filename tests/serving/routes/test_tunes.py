"""The routes of tunes, over HTTP."""

from collections.abc import Iterator
from fractions import Fraction

import pytest

from chanterd.hearing.simulated_tune import TuneHabits
from chanterd.history.tune_record import ways_played
from chanterd.music.note import Note
from chanterd.serving.daemon import Daemon
from tests.history.played_tunes import simulated, tune_ended
from tests.music.tunes.tune_writer import Written, abc
from tests.serving.played_seat import HandSource
from tests.serving.running_daemon import ask, served

TUNE = abc([[Written(Note.LOW_A, Fraction(1, 4), (Note.HIGH_G,))]], "Made up").encode()


@pytest.fixture(scope="module")
def both(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[str, Daemon]]:
    """A daemon with one chanter, and its address."""
    with served(tmp_path_factory.mktemp("data"), [HandSource()]) as both:
        yield both


@pytest.fixture(scope="module")
def page(both: tuple[str, Daemon]) -> str:
    """Its address."""
    return both[0]


@pytest.fixture(scope="module")
def served_daemon(both: tuple[str, Daemon]) -> Daemon:
    """The daemon itself."""
    return both[1]


def test_tunes_are_listed_and_shown(page: str) -> None:
    """Those that ship, with what a list needs; one with its notes."""
    tunes = {one["tune"]: one for one in ask(page, "GET", "api/tunes").json()}
    assert (tunes["seven-gulls"]["time"], tunes["seven-gulls"]["own"]) == ("6/8", False)
    shown = ask(page, "GET", "api/tunes/seven-gulls").json()
    assert (shown["title"], shown["bars"], shown["click"]) == ("Seven Gulls", 16, "3/8")
    assert shown["notes"][1]["ornament"] == "G gracenote"
    assert shown["parts"] == [[0, 32], [33, 63]]


def test_a_tune_is_kept_and_deleted(page: str) -> None:
    """The body is the file; afterwards it is as if it had never been there."""
    [kept] = ask(page, "POST", "api/tunes", params={"name": "My tune.abc"}, content=TUNE).json()
    assert (kept["tune"], kept["title"], kept["own"], kept["ornaments"]) == ("my-tune", "Made up", True, 1)
    assert ask(page, "GET", "api/tunes/my-tune").json()["notes"][0]["gracenotes"] == ["high G"]
    left = ask(page, "DELETE", "api/tunes/my-tune").json()
    assert "my-tune" not in [one["tune"] for one in left]
    assert ask(page, "GET", "api/tunes/my-tune").status_code == 422


@pytest.mark.parametrize(
    ("data", "status", "said"),
    [
        (b"Dear piper", 422, "my.abc: holds no tune"),
        (b"\0", 422, "my.abc: cannot be read: it is not a text file."),
        (b"X:1\nK:HP\n" + b"A" * 60_000, 422, "longer than 10,000 notes"),
        (b"X:1\nK:HP\n" + b"A" * 5_000_000, 413, "over 5000000 bytes"),
    ],
)
def test_what_is_no_tune_or_too_long_is_refused_in_one_sentence(page: str, data: bytes, status: int, said: str) -> None:
    """With the file's name."""
    answer = ask(page, "POST", "api/tunes", params={"name": "my.abc"}, content=data)
    assert answer.status_code == status
    assert said in answer.json()["said"]
    assert "\n" not in answer.json()["said"]


def test_a_tune_that_ships_cannot_be_deleted(page: str) -> None:
    """One sentence says so."""
    answer = ask(page, "DELETE", "api/tunes/net-mender")
    assert answer.status_code == 422
    assert "ships with chanterd" in answer.json()["said"]


def test_a_part_is_engraved_for_a_width(page: str) -> None:
    """As SVG; the second part has the notes after the first."""
    answer = ask(page, "GET", "api/tunes/seven-gulls/staff", params={"part": 2, "width": 60})
    assert answer.headers["content-type"] == "image/svg+xml"
    assert 'data-note="33"' in answer.text
    assert 'data-note="32"' not in answer.text
    refused = ask(page, "GET", "api/tunes/seven-gulls/staff", params={"part": 3})
    assert refused.json()["said"] == "The part is 3; 'Seven Gulls' has 2."


def test_how_each_ornament_goes_is_of_the_player_at_the_seat(page: str) -> None:
    """All of the tune's, with how often each occurs; a new player has played none."""
    found = ask(page, "GET", "api/tunes/seven-gulls/mastery").json()
    assert found[0] == {
        "drill": "doubling from E to E",
        "ornament": "doubling",
        "times": 4,
        "mastery": "never heard",
        "said": "not practised yet",
        "held_bpm": None,
    }
    assert len({one["drill"] for one in found}) == len(found)


def test_a_tune_is_practised_as_a_plan(page: str) -> None:
    """A warm-up and every ornament of it, most needed first, then the tune itself."""
    session = ask(page, "POST", "api/tunes/seven-gulls/session", json={}).json()
    drills = [part["drill"] for part in session["plan"]["parts"]]
    mastery = ask(page, "GET", "api/tunes/seven-gulls/mastery").json()
    assert drills[1:] == [*(one["drill"] for one in mastery), "Seven Gulls, the whole tune"]
    ask(page, "DELETE", "api/session").raise_for_status()


def test_a_passage_is_heard_at_a_tempo(page: str) -> None:
    """Its notes with their gracenotes in order of time; what is no passage or no tempo is refused."""
    asked = {"first": 1, "last": 5, "click_bpm": 120}
    heard = ask(page, "GET", "api/tunes/seven-gulls/heard", params=asked).json()
    assert sorted({one["place"] for one in heard["notes"]}) == [1, 2, 3, 4, 5]
    assert [one["at_s"] for one in heard["notes"]] == sorted(one["at_s"] for one in heard["notes"])
    assert heard["clicks"][0]["accent"]
    backwards = ask(page, "GET", "api/tunes/seven-gulls/heard", params={**asked, "last": 0})
    assert "'Seven Gulls' has notes 0 to 63" in backwards.json()["said"]
    fast = ask(page, "GET", "api/tunes/seven-gulls/heard", params={**asked, "click_bpm": 9000})
    assert fast.status_code == 422


def test_a_run_through_a_tune_is_listed_and_renews_its_marks(page: str, served_daemon: Daemon) -> None:
    """Nothing before; then the run, and how its ornaments went in it."""
    assert ask(page, "GET", "api/tunes/net-mender/runs").json() == []
    player = served_daemon.seat(None).player
    one = simulated("net-mender", 0, 20, TuneHabits())
    served_daemon.history.writer.put(tune_ended(player, one, "net-mender"))
    assert served_daemon.history.writer.settle()
    [run] = ask(page, "GET", "api/tunes/net-mender/runs").json()
    summary = one.run().found()["summary"]
    assert (run["first"], run["last"], run["ornaments"], run["clean"]) == (
        *(0, 20, summary["ornaments"], summary["clean"]),
    )
    marks = {one["drill"]: one["said"] for one in ask(page, "GET", "api/tunes/net-mender/mastery").json()}
    for way in ways_played(one.run().found()["notes"]):
        assert marks[way.drill] == f"{way.clean} of {way.played} clean"
