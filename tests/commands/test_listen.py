"""``chanterd listen``: what is in a recording."""

import json
from pathlib import Path

import pytest

from tests.command_runner import Commands
from tests.written_takes import write

CLICK_MS = 1000.0


@pytest.fixture
def take(tmp_path: Path) -> Path:
    """Five clean grips from B to C at 60."""
    playing: list[tuple[float, str | None]] = []
    for rep in range(5):
        at_ms = 2 * CLICK_MS * rep
        grip = ((0.0, "B"), (840.0, "low G"), (900.0, "D"), (940.0, "low G"), (1000.0, "C"))
        playing += [(at_ms + since, note) for since, note in grip]
    return write(tmp_path / "take.mid", [*playing, (10 * CLICK_MS, None)])


MEMBERS = {"start_ms", "theme_ms", "ornament", "drill", "or", "clean", "faults", "said", "steps", "off_beat_ms"}


def test_the_table_has_passages_and_ornaments(chanterd: Commands, take: Path) -> None:
    """With how many were clean."""
    code, out, err = chanterd.run("listen", take)
    assert (code, err) == (0, "")
    assert "grip from B to C, about 60 clicks a minute" in out
    row = next(line for line in out.splitlines() if line.startswith("grip"))
    assert row.split()[1] == row.split()[2]


def test_json_has_ornaments_passages_and_a_summary(chanterd: Commands, take: Path) -> None:
    """With the members that other programs rely on."""
    code, out, err = chanterd.run("listen", take, "--json")
    assert (code, err) == (0, "")
    found = json.loads(out)
    assert set(found) == {"ornaments", "passages", "summary"}
    assert all(set(one) == MEMBERS for one in found["ornaments"])
    assert {one["drill"] for one in found["ornaments"]} == {"grip from B to C"}
    (passage,) = found["passages"]
    assert (passage["kind"], passage["drill"], round(passage["click_bpm"])) == ("drill", "grip from B to C", 60)
    assert found["summary"][0]["ornament"] == "grip"


def test_a_file_that_is_no_recording_is_refused(chanterd: Commands, tmp_path: Path) -> None:
    """In one line that names it."""
    path = tmp_path / "notes.txt"
    path.write_text("grip")
    assert str(path) in chanterd.refused("listen", path)


def test_an_unknown_standard_is_refused(chanterd: Commands, take: Path) -> None:
    """With a guess."""
    assert "steady" in chanterd.refused("listen", take, "--standard", "stedy")


def test_a_tune_of_the_data_folder_is_found(chanterd: Commands, tmp_path: Path) -> None:
    """Under its title, with the note that it begins from."""
    folder = chanterd.data / "chanterd" / "tunes"
    folder.mkdir(parents=True)
    letters = "A B c e d B A f e c a f e d c B A c e f d A B c"
    (folder / "mine.abc").write_text(f"X:1\nT:Made up at home\nM:4/4\nL:1/4\nK:HP\n{letters}|]\n")
    names = {"A": "low A", "B": "B", "c": "C", "d": "D", "e": "E", "f": "F", "a": "high A"}
    playing: list[tuple[float, str | None]] = [
        (500.0 * place, names[letter]) for place, letter in enumerate(letters.split()[4:])
    ]
    path = write(tmp_path / "take.mid", [*playing, (500.0 * len(playing), None)])
    code, out, err = chanterd.run("listen", path, "--json")
    assert (code, err) == (0, "")
    (passage,) = json.loads(out)["passages"]
    assert (passage["kind"], passage["tune"], passage["from"]) == ("tune", "Made up at home", 4)
