"""``chanterd tune``: the ornaments of a tune as a table and as JSON, by the words of the book."""

import json
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from chanterd.config import bundled
from chanterd.music.note import Note
from tests.command_runner import Commands
from tests.commands.tune_schemas import TUNE, valid
from tests.music.tunes.tune_writer import Written, musicxml, mxl

HEAD = "T:{title}\nM:2/4\nL:1/8\nK:HP\n"


@pytest.fixture
def two(tmp_path: Path) -> Path:
    """Two tunes in a file; the second has one group that nobody plays, and one that nobody plays from there."""
    path = tmp_path / "two.abc"
    first = HEAD.format(title="One") + "B|{GdG}c2 B2|{GdG}c2 B-B|"
    second = HEAD.format(title="Two") + "{gcd}c2 a{gef}e|{fdf}A4|"
    path.write_text(f"X:1\n{first}\nX:2\n{second}\n", encoding="utf-8")
    return path


def listed(chanterd: Commands, *words: object) -> dict[str, Any]:
    """The object that ``tune --json`` prints; it must say nothing else."""
    code, out, err = chanterd.run("tune", *words, "--json")
    assert (code, err) == (0, "")
    found: dict[str, Any] = json.loads(out)
    return found


def test_the_table_has_each_ornament_with_bar_beat_and_how_often(chanterd: Commands, two: Path) -> None:
    """And above it the tunes of the file, by number."""
    code, out, err = chanterd.run("tune", two)
    assert (code, err) == (0, "")
    assert out.splitlines() == [
        "  1  One, 2 bars",
        "  2  Two, 2 bars",
        "",
        "One, 2 bars",
        "",
        "times  ornament          bar.beat",
        "    2  grip from B to C  1.1, 2.1",
    ]


def test_what_has_no_drill_is_named_or_spelled_out_with_the_reason(chanterd: Commands, two: Path) -> None:
    """The first note's ornament, one refused from the note before, and one that is not in the book."""
    _, out, _ = chanterd.run("tune", two, "--number", "2")
    *_, first, refused, unknown, _, why_first, why_refused, why_unknown = out.splitlines()
    assert first.split() == ["1", "doubling,", "to", "C", "1.1"]
    assert refused.split() == ["1", "doubling,", "to", "E", "1.2½"]
    assert unknown.split() == ["1", "F,", "D,", "F,", "to", "low", "A", "2.1"]
    assert why_first == "The doubling on the first note has no note before it."
    assert "half doubling takes its place" in why_refused
    assert why_unknown == "F, D, F before low A is not an ornament of the book."


def test_json_is_as_other_programs_read_it(chanterd: Commands, two: Path) -> None:
    """Exact fractions of a whole note; tied notes are one; what is unknown is listed by the index of its note."""
    one = listed(chanterd, two)
    assert (one["title"], one["bars"], one["unknown"]) == ("One", 2, [])
    assert one["notes"][1] == {
        "note": "C",
        "start": "1/8",
        "lasts": "1/4",
        "bar": 1,
        "gracenotes": ["low G", "D", "low G"],
        "ornament": "grip",
        "drill": "grip from B to C",
    }
    assert [note["lasts"] for note in one["notes"]] == ["1/8", "1/4", "1/4", "1/4", "1/4"]
    other = listed(chanterd, two, "--number", "2")
    assert [(note["ornament"], note["drill"]) for note in other["notes"]] == [
        ("doubling", None),
        (None, None),
        ("doubling", None),
        (None, None),
    ]
    said = "F, D, F before low A is not an ornament of the book."
    assert other["unknown"] == [{"note": 3, "gracenotes": ["F", "D", "F"], "said": said}]


@pytest.mark.parametrize("number", ["0", "3", "-1", "two", "1.5"])
def test_a_number_that_no_tune_has_is_refused_with_the_range(chanterd: Commands, two: Path, number: str) -> None:
    """In one sentence."""
    said = chanterd.refused("tune", two, "--number", number)
    assert f"'{number}'" in said
    assert "from 1 to 2" in said


def test_what_is_not_understood_is_said_with_its_place_and_the_rest_is_used(chanterd: Commands, tmp_path: Path) -> None:
    """On stderr, the first five one by one, so that the output stays what other programs read."""
    path = tmp_path / "odd.abc"
    path.write_text("X:1\nT:Odd\nL:1/8\nK:HP\nB {GdG}c b # # # # # #\n", encoding="utf-8")
    code, out, err = chanterd.run("tune", path, "--json")
    assert code == 0
    assert [note["drill"] for note in json.loads(out)["notes"]] == [None, "grip from B to C"]
    lines = err.splitlines()
    assert lines[0].startswith("odd.abc: line 5, column 10: 'b' is beyond the nine notes of the chanter")
    assert len(lines) == 6
    assert lines[-1] == "odd.abc: and 2 more like these."


def test_a_tune_without_gracenotes_is_a_tune(chanterd: Commands, tmp_path: Path) -> None:
    """One in ten files has none: that is no mistake."""
    path = tmp_path / "plain.abc"
    path.write_text("X:1\nT:Plain\nK:HP\nABcd|\n", encoding="utf-8")
    code, out, err = chanterd.run("tune", path)
    assert (code, err) == (0, "")
    assert out.splitlines()[-1] == "It has no gracenotes, so there is no ornament to name."


@pytest.mark.parametrize("packed", [False, True])
def test_musicxml_plain_and_packed(chanterd: Commands, tmp_path: Path, *, packed: bool) -> None:
    """The same tune as in ABC."""
    grip = (Note.LOW_G, Note.D, Note.LOW_G)
    document = musicxml([[Written(Note.B, Fraction(1, 4)), Written(Note.C, Fraction(1, 4), grip)]])
    path = tmp_path / "tune.mxl"
    path.write_bytes(mxl(document) if packed else document.encode())
    assert [note["drill"] for note in listed(chanterd, path)["notes"]] == [None, "grip from B to C"]


def test_a_file_that_is_no_tune_gets_one_sentence(chanterd: Commands, tmp_path: Path) -> None:
    """Also one that is not there."""
    path = tmp_path / "letter.txt"
    path.write_text("Dear piper, thank you.\n", encoding="utf-8")
    assert "holds no tune" in chanterd.refused("tune", path)
    assert "check the name" in chanterd.refused("tune", tmp_path / "gone.abc")
    assert "FILE" in chanterd.refused("tune")


@pytest.mark.parametrize("path", sorted((bundled("configs") / "tunes").glob("*.abc")), ids=lambda path: path.stem)
def test_every_ornament_of_the_tunes_that_ship_has_a_drill(chanterd: Commands, path: Path) -> None:
    """Each note with gracenotes is a drill of the book."""
    notes = listed(chanterd, path)["notes"]
    assert notes
    assert [note for note in notes if note["gracenotes"] and not note["drill"]] == []


ODD = (
    "X:1\nT:Odd\nM:6/8\nL:1/8\nK:HP\n(3{fdf}ABc | {gcd}c3- c2{g}A |1,3 {GdGe}A//B z [Ac]2 b :|2 (5ABcde A- | A9 |]\n"
    "\nX:2\nK:HP\nA\n"
)
"""A tune without a title in it, triplets, ties, rests, and what the chanter lacks."""


@pytest.mark.parametrize("number", [1, 2])
def test_what_other_programs_read_is_as_the_contract_says(chanterd: Commands, tmp_path: Path, number: int) -> None:
    """By a JSON Schema; starts rise, and no note begins before the one before it ends."""
    path = tmp_path / "odd.abc"
    path.write_text(ODD, encoding="utf-8")
    files = [path, *sorted((bundled("configs") / "tunes").glob("*.abc"))]
    for file in files if number == 1 else [path]:
        code, out, _ = chanterd.run("tune", file, "--number", number, "--json")
        found = json.loads(out)
        assert code == 0
        valid(found, TUNE)
        ends = Fraction(0)
        for note in found["notes"]:
            assert Fraction(note["start"]) >= ends
            ends = Fraction(note["start"]) + Fraction(note["lasts"])
        assert {one["note"] for one in found["unknown"]} == {
            index for index, note in enumerate(found["notes"]) if note["gracenotes"] and note["ornament"] is None
        }


def test_a_recording_is_no_tune_and_is_led_to_its_place(chanterd: Commands, tmp_path: Path) -> None:
    """Somebody has the two mixed up."""
    path = tmp_path / "take.mid"
    path.write_bytes(b"MThd" + bytes(20))
    assert "'chanterd listen' takes it apart" in chanterd.refused("tune", path)
