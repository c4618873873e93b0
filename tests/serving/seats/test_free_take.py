"""What is played with nothing chosen goes into the history, and what was played today is there after a new start."""

import time
from pathlib import Path
from typing import Any

import pytest

from chanterd.assessing.listen import listen_to
from chanterd.hearing.take import parse_take
from chanterd.history.free_runs import FreeRunSeen, free_runs_of, free_take_of, ornaments_of
from chanterd.music.note import Note
from chanterd.music.units import NS_PER_MS, NS_PER_S
from chanterd.serving.seats.free_take import RESTED_NS
from tests.serving.played_seat import HandSource, Sitting
from tests.serving.seats.test_free_playing import GRIP, play

CRUSHED = "B700 G60 d30 G10 c700"
ENDING = "e500 f900"


@pytest.fixture
def sitting(sitting: Sitting) -> Sitting:
    """The book has been worked out."""
    sitting.daemon.unasked.prepare()
    return sitting


def rest(sitting: Sitting) -> None:
    """Put the chanter down for more than a minute."""
    sitting.source.release(sitting.now_ns)
    sitting.until(sitting.now_ns + RESTED_NS + NS_PER_S)


def runs(sitting: Sitting) -> list[FreeRunSeen]:
    """What the history has."""
    history = sitting.daemon.history
    assert history.writer.settle()
    with history.store.reading() as connection:
        return free_runs_of(connection, sitting.seat.player.number)


def test_a_run_is_from_the_first_note_to_a_long_rest_with_its_take(sitting: Sitting) -> None:
    """The take, listened to again, holds the same ornaments at the same times."""
    play(sitting, f"{GRIP} {CRUSHED} {ENDING}")
    rest(sitting)
    play(sitting, f"{GRIP} {ENDING}")
    rest(sitting)
    later, first = runs(sitting)
    assert [(one.ornaments, one.clean, one.why) for one in (first, later)] == [(2, 1, "rested"), (1, 1, "rested")]
    with sitting.daemon.history.store.reading() as connection:
        kept, midi = ornaments_of(connection, first.run), free_take_of(connection, first.run)
    tables = sitting.daemon.tables
    heard = listen_to(parse_take(Path("take.mid"), midi), tables.profiles, tables.book)
    again = heard.listed(sitting.daemon.unasked.standard)["ornaments"]
    assert [one["drill"] for one in again] == [one["drill"] for one in kept] == ["grip from B to C"] * 2
    for one, other in zip(again, kept, strict=True):
        assert one["theme_ms"] == pytest.approx(other["theme_ms"], abs=2)


def test_notes_without_an_ornament_leave_no_trace(sitting: Sitting) -> None:
    """Somebody tries the chanter."""
    play(sitting, "B700 c700 e500")
    rest(sitting)
    assert runs(sitting) == []


def test_a_run_ends_when_something_is_chosen(sitting: Sitting) -> None:
    """And when the daemon stops, its last ornament included."""
    play(sitting, f"{GRIP} {GRIP}")
    sitting.practise("grip from B to C", 60.0)
    (run,) = runs(sitting)
    assert (run.ornaments, run.why) == (2, "something was chosen")


def test_a_long_one_is_written_while_it_goes_on(sitting: Sitting) -> None:
    """If the power goes, little is lost."""
    for _ in range(6):
        play(sitting, f"{GRIP} {GRIP} {ENDING}", 5000)
    (run,) = runs(sitting)
    assert run.why is None
    assert 4 <= run.ornaments < 12


def test_who_keeps_nothing_has_nothing_kept(sitting: Sitting) -> None:
    """As with reps of a class."""
    sitting.daemon.classroom.keep("1", keep=False)
    play(sitting, f"{GRIP} {ENDING}")
    rest(sitting)
    assert runs(sitting) == []


def test_todays_counts_survive_a_new_start(tmp_path: Path) -> None:
    """And a player who sits down again finds theirs."""
    with Sitting(tmp_path) as sitting:
        sitting.daemon.unasked.prepare()
        play(sitting, f"{GRIP} {CRUSHED} {ENDING}")
        before = counted(sitting)
    with Sitting(tmp_path, [HandSource()]) as sitting:
        sitting.daemon.unasked.prepare()
        wait_for(sitting, lambda: counted(sitting) == before)
        assert sitting.daemon.state()["seats"][0]["free"]["drill"] is None  # too few to say what to work on
        play(sitting, f"{CRUSHED} {CRUSHED} {ENDING}")
        assert counted(sitting) == [("grip", 4, 1)]
        assert sitting.daemon.state()["seats"][0]["free"]["drill"] == "grip from B to C"
        ada = sitting.seat.player
        other = sitting.run(sitting.daemon.roster.create("Bram"))
        sitting.run(sitting.daemon.roster.choose(sitting.seat, other.number))
        sitting.until(sitting.now_ns + 200 * NS_PER_MS)
        assert counted(sitting) == []
        sitting.run(sitting.daemon.roster.choose(sitting.seat, ada.number))
        wait_for(sitting, lambda: counted(sitting) == [("grip", 4, 1)])


def counted(sitting: Sitting) -> list[tuple[str, int, int]]:
    """Today's rows."""
    rows = sitting.daemon.state()["seats"][0]["free"]["rows"]
    return [(row["ornament"], row["played"], row["clean"]) for row in rows]


def wait_for(sitting: Sitting, there: Any) -> None:
    """It is looked up beside the event loop."""
    until = time.monotonic() + 10
    while not there():
        assert time.monotonic() < until
        sitting.until(sitting.now_ns + 20 * NS_PER_MS)


def test_what_is_held_when_it_begins_is_no_part_of_it(sitting: Sitting) -> None:
    """A note that sounded in a run before is not begun again."""
    run = sitting.practise("grip from B to C", 60.0)
    sitting.play([(Note.B, run["grid"]["beat0_ns"])])
    sitting.seat.stop_practice()
    play(sitting, f"{GRIP} {ENDING}")
    rest(sitting)
    (kept,) = runs(sitting)
    assert kept.ornaments == 1
