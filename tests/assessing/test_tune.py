"""Assessing a take of a tune."""

import json
from pathlib import Path

import mido
import pytest

from chanterd.assessing.tune import assess_tune, profile_for_tune, tune_assessment_json
from chanterd.config import ChanterdError
from chanterd.hearing.chanter import load_profiles
from chanterd.hearing.take import Take, parse_take, write_take
from chanterd.judging.standard import find_standard, read_standards
from chanterd.music.book import standard_book
from chanterd.music.spread import standard_spread
from chanterd.music.units import Bpm, Ns
from tests.bench.tune_performances import CONDITIONS, TEMPI, sample, shipped, written_pitch


def take_of(path: Path, name: str, condition: str, up: int = 0) -> Take:
    """A take on the disk, some semitones higher; its own tempo has nothing to do with the playing."""
    messages = sample(name, CONDITIONS[condition], 51).performance.messages
    moved = [(message.copy(note=message.note + up), at_ns) for message, at_ns in messages]
    write_take(path, moved, 100.0)
    return parse_take(path, path.read_bytes())


@pytest.mark.parametrize("name", TEMPI)
@pytest.mark.parametrize("condition", ["clean", "tempo wandering 12 %"])
def test_without_a_click_the_tempo_is_found_in_the_take(tmp_path: Path, name: str, condition: str) -> None:
    """Whatever the file says its tempo is."""
    one = sample(name, CONDITIONS[condition], 51)
    strict = find_standard("steady", read_standards())
    take = take_of(tmp_path / "take.mid", name, condition)
    found = assess_tune(take, written_pitch(), one.passage, standard_book(), strict, standard_spread(), None)
    assert found["click_bpm"] == pytest.approx(TEMPI[name], rel=0.03)
    assert all(note["state"] in ("played", "merged") for note in found["notes"])
    assert json.loads(tune_assessment_json(found)) == json.loads(json.dumps(found))


def test_a_take_on_another_chanter_or_transposed(tmp_path: Path) -> None:
    """The one that fits best, in a sentence if it is transposed."""
    profiles, tune = load_profiles(None), shipped("net-mender")
    plain, said = profile_for_tune(take_of(tmp_path / "a.mid", "net-mender", "clean"), profiles, tune)
    assert (plain, said) == (written_pitch(), "")
    moved, said = profile_for_tune(take_of(tmp_path / "b.mid", "net-mender", "clean", up=5), profiles, tune)
    assert set(moved.notes) >= {midi + 5 for midi in (67, 69, 81)}
    assert "5 semitones higher" in said or said == ""


def test_a_take_of_nothing_the_tune_has(tmp_path: Path) -> None:
    """One sentence."""
    path = tmp_path / "drum.mid"
    write_take(path, [(mido.Message("note_on", note=3), Ns(0)), (mido.Message("note_off", note=3), Ns(10**8))])
    take = parse_take(path, path.read_bytes())
    strict = find_standard("steady", read_standards())
    passage = sample("net-mender", CONDITIONS["clean"], 1).passage
    with pytest.raises(ChanterdError, match="nothing of 'The Net Mender' was heard in it"):
        assess_tune(take, written_pitch(), passage, standard_book(), strict, standard_spread(), Bpm(60.0))
