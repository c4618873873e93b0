"""Who sits at which seat: what goes on there is ended when somebody else sits down."""

import asyncio
from pathlib import Path

import pytest

from chanterd.history.answers import RunSeen
from chanterd.history.queries import runs_of
from chanterd.music.drill import drill_from_words
from tests.serving.played_seat import Sitting, rep_line


def runs(sitting: Sitting, person: int) -> list[RunSeen]:
    """The runs of a person, as they are in the history by now."""
    assert sitting.daemon.history.writer.settle()
    with sitting.daemon.history.store.reading() as connection:
        return runs_of(connection, person)


def play(sitting: Sitting) -> None:
    """A rep of a run, while the run goes on."""
    sitting.practise("grip from B to C", 60)
    sitting.play(rep_line(sitting.cue()))
    sitting.until(sitting.cue().beat0_ns + 3 * sitting.cue().rep_ns)


def test_a_run_belongs_to_whoever_sat_there(tmp_path: Path) -> None:
    """Somebody else sits down: the run is ended, with its reason, and the next one is theirs."""
    with Sitting(tmp_path) as sitting:
        people = sitting.daemon.roster
        play(sitting)
        ailsa = sitting.run(people.create("Ailsa"))
        sitting.run(people.choose(sitting.seat, ailsa.number))
        assert sitting.seat.practice() is None
        play(sitting)
        sitting.seat.end()
        (first,) = runs(sitting, 1)
        (second,) = runs(sitting, ailsa.number)
        assert (first.why, second.why) == ("another player sat down", "stopped")
        assert first.played == second.played == 1


def test_another_name_ends_nothing(tmp_path: Path) -> None:
    """It is the same person, today and after the next start."""
    with Sitting(tmp_path) as sitting:
        play(sitting)
        sitting.run(sitting.daemon.roster.rename(1, "Ailsa"))
        assert sitting.seat.practice() is not None
        assert sitting.seat.player.name == "Ailsa"
        sitting.daemon.choose_placement(sitting.seat, drill_from_words("birl from B, beat on low A"))
        sitting.run(sitting.daemon.roster.rename(1, "Isla"))
        assert sitting.seat.shown()["placements"] == [{"ornament": "birl", "at": "step 1"}]
        sitting.run(sitting.daemon.roster.rename(1, "Ailsa"))
    with Sitting(tmp_path) as sitting:
        assert sitting.seat.player.name == "Ailsa"


def test_deleting_whoever_plays_ends_the_run_and_leaves_nothing(tmp_path: Path) -> None:
    """Not even the reps that were on their way into the history."""
    with Sitting(tmp_path) as sitting:
        play(sitting)
        sitting.daemon.choose_placement(sitting.seat, drill_from_words("birl from B, beat on low A"))
        sitting.run(sitting.daemon.roster.delete(1))
        assert sitting.seat.practice() is None
        assert (sitting.seat.player.number, sitting.seat.player.name) == (2, "Player 1")
        assert sitting.seat.shown()["placements"] == []
        assert runs(sitting, 1) == []
        assert [one.name for one in sitting.run(sitting.daemon.roster.all())] == ["Player 1"]


def test_of_two_changes_at_once_none_is_lost(tmp_path: Path) -> None:
    """They wait for each other."""

    async def both(sitting: Sitting) -> None:
        people = sitting.daemon.roster
        await asyncio.gather(people.create("Ailsa"), people.create("Rory"), people.rename(1, "Isla"))

    with Sitting(tmp_path) as sitting:
        sitting.run(both(sitting))
        assert [one.name for one in sitting.run(sitting.daemon.roster.all())] == ["Ailsa", "Isla", "Rory"]


@pytest.mark.parametrize("order", [("choose", "delete"), ("delete", "choose")])
def test_nobody_is_left_sitting_who_was_deleted(tmp_path: Path, order: tuple[str, str]) -> None:
    """One page sits Ailsa down while another deletes her: whoever comes first, the seat is somebody's who is there."""

    async def both(sitting: Sitting, number: int) -> None:
        people = sitting.daemon.roster
        acts = {"choose": lambda: people.choose(sitting.seat, number), "delete": lambda: people.delete(number)}
        await asyncio.gather(*(acts[name]() for name in order), return_exceptions=True)

    with Sitting(tmp_path) as sitting:
        ailsa = sitting.run(sitting.daemon.roster.create("Ailsa"))
        sitting.run(both(sitting, ailsa.number))
        there = [one.number for one in sitting.run(sitting.daemon.roster.all())]
        assert sitting.seat.player.number in there
