"""Takes that are off the click as a whole, or transposed. All of them are simulated."""

from pathlib import Path

import mido
import pytest

from chanterd.assessing.alignment import OFF_CLICKS, beats_in, heard_in, pattern_of, transposition
from chanterd.assessing.assess import Assessment
from chanterd.assessing.request import read_request
from chanterd.config import ChanterdError
from chanterd.hearing.chanter import DEFAULT_PROFILE
from chanterd.hearing.take import write_take
from chanterd.music.drill import drill_from_words
from chanterd.music.note import Note
from chanterd.music.segment import make_segment
from chanterd.music.units import NS_PER_MS, Bpm, Ns
from chanterd.practice.exercise import ExerciseWords
from chanterd.tables import Tables, read_tables

WORDS = ("grip from B to C", "throw on D from low A", "birl from E", "doubling from low A to C", "grip from C to C")


@pytest.fixture(scope="module")
def tables(tmp_path_factory: pytest.TempPathFactory) -> Tables:
    """What ships."""
    return read_tables(tmp_path_factory.mktemp("data"))


def take(folder: Path, words: str, bpm: float, off_ms: float = 0.0, semitones: int = 0, late_ms: float = 0.0) -> Path:
    """Eight reps as the score has them, so much later as a whole; what comes before the file is not recorded."""
    table = make_segment(drill_from_words(words), Bpm(bpm))
    notes = [table.drill.lead, *(step.note for step in table.drill.steps)]
    timed: list[tuple[mido.Message, Ns]] = []
    last: Note | None = None
    for rep in range(8):
        for note, offset in zip(notes, table.offsets_ns, strict=True):
            at_ns = Ns(round(rep * table.lasts_ns + offset + (off_ms + late_ms) * NS_PER_MS))
            if note is not last and at_ns >= 0:
                timed.append((mido.Message("note_on", note=note.midi + semitones, velocity=64), at_ns))
                last = note
    path = folder / "a.mid"
    write_take(path, timed, bpm)
    return path


def assessed(
    path: Path, words: str, tables: Tables, chanter: str | None = None, offset_ms: object = None
) -> Assessment:
    """What is found in it."""
    return read_request(path, ExerciseWords(words), chanter, tables, offset_ms).assessed()


@pytest.mark.parametrize("bpm", [40.0, 60.0, 120.0, 200.0])
@pytest.mark.parametrize("words", WORDS)
def test_a_take_off_the_click_as_a_whole_is_said_to_be_and_can_be_mended(
    tmp_path: Path, tables: Tables, words: str, bpm: float
) -> None:
    """By 0.65 clicks early or late: the sentence gives the offset, and with that every rep is clean."""
    click_ms = 60_000 / bpm
    for off_ms in (-0.65 * click_ms, 0.65 * click_ms):
        path = take(tmp_path, words, bpm, off_ms)
        (said,) = assessed(path, words, tables)["whole_take"]
        side = "after" if off_ms > 0 else "before"
        assert f"{abs(off_ms):.0f} ms {side} the click" in said
        assert f"--offset {off_ms:.0f}." in said
        mended = assessed(path, words, tables, offset_ms=round(off_ms))
        assert mended["whole_take"] == []
        assert mended["summary"]["clean"] >= 7
        assert [rep["anchor_ms"] for rep in mended["reps"]][1] == pytest.approx(0.0, abs=1.0)


@pytest.mark.parametrize("late_ms", [-80.0, 0.0, 80.0])
def test_a_player_who_is_early_or_late_is_not_a_take_that_is_off(
    tmp_path: Path, tables: Tables, late_ms: float
) -> None:
    """80 ms at 60 are less than a quarter of a click: that is the playing, and judged."""
    assert OFF_CLICKS * 1000 > 80
    path = take(tmp_path, "grip from B to C", 60.0, late_ms=late_ms)
    assert assessed(path, "grip from B to C", tables)["whole_take"] == []


@pytest.mark.parametrize("semitones", [-19, -5, -2, -1, 1, 3, 7, 14])
@pytest.mark.parametrize("words", WORDS)
def test_a_transposed_take_is_said_to_be_by_how_much_and_is_judged(
    tmp_path: Path, tables: Tables, words: str, semitones: int
) -> None:
    """Against the chanter that is named; the reps are found as if it were not transposed."""
    path = take(tmp_path, words, 60.0, semitones=semitones)
    found = assessed(path, words, tables, chanter=DEFAULT_PROFILE)
    way = "higher" if semitones > 0 else "lower"
    assert f"{abs(semitones)} semitone" in found["whole_take"][0]
    assert way in found["whole_take"][0]
    assert found["summary"]["clean"] == 8
    unnamed = assessed(path, words, tables)
    assert unnamed["summary"]["clean"] == 8
    assert unnamed["whole_take"] == found["whole_take"] or unnamed["chanter"] != DEFAULT_PROFILE


def test_a_take_off_and_transposed_is_said_to_be_both(tmp_path: Path, tables: Tables) -> None:
    """One sentence each."""
    path = take(tmp_path, "grip from B to C", 60.0, off_ms=-650.0, semitones=3)
    transposed, off = assessed(path, "grip from B to C", tables, chanter=DEFAULT_PROFILE)["whole_take"]
    assert transposed == "The take is transposed: it is 3 semitones higher than the chanter 'written pitch'."
    assert "--offset -650" in off


def test_a_take_with_nothing_of_the_exercise_is_not_called_transposed(tmp_path: Path, tables: Tables) -> None:
    """Two reps played right are the least that shows it."""
    path = take(tmp_path, "birl from E", 60.0)
    assert (
        transposition(
            read_request(path, ExerciseWords("birl from E"), None, tables).take,
            tables.profiles.values(),
            [drill_from_words("throw on D from high A")],
        )
        is None
    )


@pytest.mark.parametrize("offset_ms", ["soon", True, 1e9, float("nan")])
def test_an_offset_that_is_none_is_refused(tmp_path: Path, tables: Tables, offset_ms: object) -> None:
    """With the range and an example."""
    path = take(tmp_path, "birl from E", 60.0)
    with pytest.raises(ChanterdError, match=r"The offset is .*such as -650"):
        assessed(path, "birl from E", tables, offset_ms=offset_ms)


def test_the_beat_is_found_wherever_the_ornament_is(tmp_path: Path, tables: Tables) -> None:
    """Equal notes melt: a grip from C to C has a lead that is one with the theme before it."""
    pattern = pattern_of(drill_from_words("grip from C to C"))
    assert pattern.notes == (Note.C, Note.LOW_G, Note.D, Note.LOW_G, Note.C)
    assert pattern.anchor == 4
    path = take(tmp_path, "grip from C to C", 60.0)
    request = read_request(path, ExerciseWords("grip from C to C"), None, tables)
    beats = beats_in(heard_in(request.take, request.profile), [pattern])
    assert [round(at / NS_PER_MS) for at in beats] == [1000 + 2000 * rep for rep in range(8)]
