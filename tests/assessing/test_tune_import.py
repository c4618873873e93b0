"""Takes of tunes for the history."""

from pathlib import Path

import pytest

from chanterd.assessing.tune_import import keep_tune_take, shelved_tune, tune_take
from chanterd.config import ChanterdError, bundled
from chanterd.hearing.take import Take
from chanterd.hearing.track import whole_take
from chanterd.history.store import open_store
from chanterd.history.tune_runs import result_of, tune_run_of, tune_take_of
from chanterd.history.wall_clock import WallTime
from chanterd.judging.standard import find_standard
from chanterd.music.tunes.shelf import Shelf
from chanterd.music.units import Bpm
from chanterd.tables import read_tables
from tests.bench.tune_performances import CONDITIONS, sample
from tests.history.practised_runs import noon, profile, somebody

JIG = (bundled("configs") / "tunes" / "seven-gulls.abc").read_bytes()


def test_a_take_is_judged_as_assess_judges_it_and_kept_as_it_is(tmp_path: Path) -> None:
    """Dated by when it was played, and it took as long as the take does."""
    one, tables = sample("seven-gulls", CONDITIONS["crushed gracenotes"], 3), read_tables(tmp_path)
    messages = one.performance.messages
    midi, take = whole_take(messages, 116.0), Take("jig.mid", messages, Bpm(116.0), ())
    standard = find_standard("steady", tables.standards)
    shelved = Shelf(tmp_path).find("seven-gulls")
    judged = tune_take(midi, take, profile(), shelved, Bpm(116.0), standard, tables)
    assert judged.played == one.run().found()
    store = open_store(None, tmp_path)
    run = keep_tune_take(store, somebody(store), "jig.mid", judged, noon(3))
    with store.reading() as connection:
        seen = tune_run_of(connection, run)
        assert (seen.day, seen.why, seen.input) == ("2026-04-03", "imported", "imported: jig.mid")
        assert seen.until_ns - seen.began_ns == messages[-1][1]
        assert WallTime(seen.until_ns, 0) == noon(3)
        assert result_of(connection, run) == judged.played
        assert tune_take_of(connection, run) == midi
    store.close()


def test_a_file_is_kept_once_and_its_tunes_are_counted_from_1(tmp_path: Path) -> None:
    """A number that it does not have is refused with how many it has."""
    shelf = Shelf(tmp_path)
    two = (
        JIG.replace(b"T:Seven Gulls", b"T:One") + b"\n\n" + JIG.replace(b"X:1", b"X:2").replace(b"Seven Gulls", b"Two")
    )
    file = ("My Jigs.abc", two)
    titles = [one.tune.title for number in (1, 2) if (one := shelved_tune(shelf, "", file, number)).tune is not None]
    assert titles == ["One", "Two"]
    assert len(list(tmp_path.rglob("*.abc"))) == 1
    with pytest.raises(ChanterdError, match=r"The number of the tune is 3; My Jigs\.abc has 2\."):
        shelved_tune(shelf, "", file, 3)
    assert shelved_tune(shelf, "seven-gulls", None, 1).key == "seven-gulls"
