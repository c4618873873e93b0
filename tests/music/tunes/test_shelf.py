"""The tunes at hand: shipped and one's own, kept under safe names."""

from fractions import Fraction
from pathlib import Path

import pytest

from chanterd.config import ChanterdError
from chanterd.music.note import Note
from chanterd.music.tunes.shelf import Shelf
from tests.music.tunes.tune_writer import Written, abc, musicxml, mxl

BAR = [[Written(Note.LOW_A, Fraction(1, 4))]]
TUNE = abc(BAR, "Made up").encode()


def test_the_tunes_that_ship_are_there(tmp_path: Path) -> None:
    """A march, a strathspey and a jig."""
    found = {one.key: one.tune.kind for one in Shelf(tmp_path).tunes() if one.tune}
    assert found == {"lamp-at-quarry-hollow": "march", "net-mender": "strathspey", "seven-gulls": "jig"}


@pytest.mark.parametrize(
    ("name", "kept"),
    [
        ("My March.abc", "my-march.abc"),
        ("../../etc/passwd", "passwd.abc"),
        ("C:\\tunes\\Jig No. 2.abc", "jig-no-2.abc"),
        ("Ceòl Mòr.abc", "ceol-mor.abc"),
        ("\0\n.abc", "tune.abc"),
        (".abc", "tune.abc"),
        ("net-mender.abc", "net-mender-2.abc"),
        ("x" * 300, "x" * 60 + ".abc"),
    ],
)
def test_a_file_gets_a_safe_name_of_its_own(tmp_path: Path, name: str, kept: str) -> None:
    """Whatever it was called, it is in the folder of tunes, and takes no other's place."""
    [one] = Shelf(tmp_path).add(name, TUNE)
    assert [path.relative_to(tmp_path) for path in tmp_path.rglob("*.*")] == [Path("tunes") / kept]
    assert (one.key, one.own) == (kept[:-4], True)
    assert one.path.read_bytes() == TUNE


@pytest.mark.parametrize(
    ("data", "ending"), [(TUNE, ".abc"), (musicxml(BAR).encode(), ".musicxml"), (mxl(musicxml(BAR)), ".mxl")]
)
def test_its_ending_says_what_is_in_it(tmp_path: Path, data: bytes, ending: str) -> None:
    """People rename files."""
    [one] = Shelf(tmp_path).add("tune.txt", data)
    assert one.path.name == f"tune{ending}"


def test_the_same_file_is_kept_once_and_another_of_its_name_beside_it(tmp_path: Path) -> None:
    """Dropped twice by mistake."""
    shelf = Shelf(tmp_path)
    keys = [shelf.add("a.abc", data)[0].key for data in (TUNE, TUNE, abc(BAR, "Other").encode())]
    assert keys == ["a", "a", "a-2"]


def test_a_file_of_several_tunes_has_a_key_for_each(tmp_path: Path) -> None:
    """And is deleted as one."""
    shelf = Shelf(tmp_path)
    found = shelf.add("book.abc", TUNE + b"\n" + abc(BAR, "Second").encode())
    assert [one.key for one in found] == ["book", "book:2"]
    second = shelf.find("book:2").tune
    assert second is not None
    assert second.title == "Second"
    shelf.delete("book:2")
    assert not list((tmp_path / "tunes").iterdir())
    with pytest.raises(ChanterdError, match="is not on the shelf"):
        shelf.find("book")


def test_a_tune_that_ships_is_not_deleted(tmp_path: Path) -> None:
    """Nor one that is not there."""
    shelf = Shelf(tmp_path)
    with pytest.raises(ChanterdError, match="ships with chanterd"):
        shelf.delete("net-mender")
    with pytest.raises(ChanterdError, match="Did you mean 'net-mender'"):
        shelf.delete("net-mendr")
    assert shelf.find("net-mender").tune is not None


def test_what_is_no_tune_is_not_kept(tmp_path: Path) -> None:
    """One sentence, and nothing on the disk."""
    with pytest.raises(ChanterdError, match=r"^letter\.abc: holds no tune"):
        Shelf(tmp_path).add("/home/x/letter.abc", b"Dear piper")
    assert not list(tmp_path.iterdir())


def test_a_file_that_was_put_there_and_is_damaged_is_named(tmp_path: Path) -> None:
    """The others are still read; once it is mended, so is it."""
    folder = tmp_path / "tunes"
    folder.mkdir()
    (folder / "odd.abc").write_bytes(b"nothing")
    (folder / "notes.txt").write_bytes(b"no tune, and no tune's ending")
    shelf = Shelf(tmp_path)
    last = shelf.tunes()[-1]
    assert (last.key, last.tune) == ("odd", None)
    assert "holds no tune" in last.said
    with pytest.raises(ChanterdError, match="holds no tune"):
        shelf.find("odd")
    (folder / "odd.abc").write_bytes(TUNE)
    assert shelf.find("odd").tune is not None
