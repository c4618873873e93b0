"""A tune while it is played, whoever began it: its cursor has times as stamped, and its take ends with what sounded."""

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import pytest

from chanterd.hearing.cued import Timed
from chanterd.hearing.take import parse_take
from chanterd.hearing.track import ALL_SOUND_OFF
from chanterd.history.tune_runs import tune_runs_of, tune_take_of
from chanterd.music.heard import Onset
from chanterd.music.note import Note
from chanterd.music.units import NS_PER_MS, Ms, Ns
from chanterd.practice.passage.asked import TuneWords
from tests.bench.tune_performances import CONDITIONS, sample, shipped
from tests.serving.played_seat import Sitting

NAME = "net-mender"
TUNE = shipped(NAME)

Play = Callable[[Sitting], None]


def chosen(sitting: Sitting) -> None:
    """The player starts the tune, and plays some of it."""
    sitting.daemon.play_tune(None, NAME, TUNE, TuneWords(124.0))
    sitting.perform(8.0)


def noticed(sitting: Sitting) -> list[tuple[Note, Ns]]:
    """The player just plays it: the notes and their stamps."""
    sitting.daemon.unasked.prepare()
    sitting.daemon.unasked.tunes.read()
    heard = [one for one in sample(NAME, CONDITIONS["clean"], 1).heard if isinstance(one, Onset) and not one.bounce]
    begin = sitting.now_ns + 100 * NS_PER_MS - heard[0].at_ns
    played = [(one.note, Ns(begin + one.at_ns)) for one in heard[:80]]
    sitting.play(played)
    sitting.until(sitting.now_ns + 20 * NS_PER_MS)
    return played


@pytest.mark.parametrize("play", [chosen, noticed])
def test_the_cursor_has_times_as_stamped(sitting: Sitting, play: Play) -> None:
    """As every frame has them: a calibration is no part of when a message arrived."""
    stamps = set[int]()
    send = sitting.source.send

    def noted(message: Any, at_ns: int) -> None:
        stamps.add(at_ns)
        send(message, at_ns)

    sitting.source.send = noted  # type: ignore[method-assign]
    sitting.seat._keep_calibration(Ms(30.0))
    play(sitting)
    heard = {frame["heard_ns"] for frame in sitting.of("cursor")}
    assert len(heard) > 5
    assert heard <= stamps


@pytest.mark.parametrize("play", [chosen, noticed])
def test_a_chanter_that_is_unplugged_sounds_no_longer(sitting: Sitting, play: Play) -> None:
    """No message says so: the take does, so that the last note does not last for ever when it is judged once more."""
    play(sitting)
    sitting.source.press(Note.D, sitting.now_ns)
    sitting.until(sitting.now_ns + 100 * NS_PER_MS)
    sitting.source.status("gone")
    sitting.settle()
    sitting.seat.stop_practice()
    *_, (last, _) = take_of(sitting)
    assert (last.type, last.control) == ("control_change", ALL_SOUND_OFF)


@pytest.mark.parametrize("calibration_ms", [0.0, -35.5, 62.0])
def test_the_take_of_a_noticed_tune_begins_with_its_first_note(sitting: Sitting, calibration_ms: float) -> None:
    """From wherever it is noticed: each note from there on at its own time, none before it."""
    sitting.seat._keep_calibration(Ms(calibration_ms))
    stamped = noticed(sitting)
    messages = take_of(sitting)
    notes = [(message.note, at_ns) for message, at_ns in messages if message.type == "note_on"]
    played = stamped[len(stamped) - len(notes) :]
    assert [note for note, _ in notes] == [note.midi for note, _ in played]
    from_first = [at_ns - played[0][1] for _, at_ns in played]
    assert [at_ns for _, at_ns in notes] == pytest.approx(from_first, abs=0.1 * NS_PER_MS)  # a file's ticks are coarser
    before = messages[: next(place for place, (message, _) in enumerate(messages) if message.type == "note_on")]
    assert {message.type for message, _ in before} <= {"note_off"}


def take_of(sitting: Sitting) -> Sequence[Timed]:
    """The messages of the one run in the history, once the daemon has ended."""
    sitting.run(sitting.daemon.stop())
    with sitting.daemon.history.store.reading() as connection:
        (kept,) = tune_runs_of(connection, sitting.seat.player.number)
        take = tune_take_of(connection, kept.run)
    return parse_take(Path("take.mid"), take).messages
