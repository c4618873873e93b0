"""What a seat's run is for the record of a class."""

from pathlib import Path

import pytest

from chanterd.practice.exercise import ExerciseWords, resolve
from chanterd.serving.seats.services import Attended
from tests.serving.played_seat import Sitting, rep_line


@pytest.mark.parametrize("keep", [True, False])
def test_a_run_says_its_key_if_it_is_kept(tmp_path: Path, *, keep: bool) -> None:
    """The key of the run that is then in the history; without a wish there is neither."""
    keys: list[str] = []
    with Sitting(tmp_path) as sitting:
        exercise = resolve(ExerciseWords("grip from B to C", 60), sitting.daemon.tables)
        sitting.seat.practise(exercise, attended=Attended(keep, keys.append))
        sitting.play(rep_line(sitting.cue()))
        sitting.seat.end()
        assert sitting.daemon.history.writer.settle(10)
        with sitting.daemon.history.store.reading() as connection:
            found = [row[0] for row in connection.exec_driver_sql("SELECT key FROM runs")]
    assert found == keys
    assert len(keys) == keep
