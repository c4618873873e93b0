"""Tunes out of files: which format it is shows in the file, and a file that is no tune gets one sentence."""

import re
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from chanterd.config import ChanterdError
from chanterd.music.note import Note
from chanterd.music.tunes.abc import MOST_CHARACTERS
from chanterd.music.tunes.builder import MOST_OF_TUNE
from chanterd.music.tunes.musicxml import LARGEST
from chanterd.music.tunes.read import read_tunes, tunes_from
from chanterd.music.tunes.tune import Tune
from tests.music.tunes.tune_writer import Written, abc, musicxml, mxl

BAR = [[Written(Note.LOW_A, Fraction(1, 4))]]


@pytest.mark.parametrize("name", ["tune.abc", "tune.musicxml", "tune.mxl", "tune.txt"])
@pytest.mark.parametrize("data", [abc(BAR).encode(), musicxml(BAR).encode(), mxl(musicxml(BAR))])
def test_any_format_under_any_name(tmp_path: Path, name: str, data: bytes) -> None:
    """People rename files."""
    path = tmp_path / name
    path.write_bytes(data)
    [tune] = read_tunes(path)
    assert (tune.title, [one.note for one in tune.notes]) == ("Made up", [Note.LOW_A])


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "holds no tune; in ABC a tune begins with a line 'X:1'"),
        (b"Dear piper", "holds no tune"),
        (b"X:1\nK:HP\n", "holds no tune"),
        (b"\0\1\2\3", "cannot be read: it is not a text file"),
        (b"<html></html>", "not a MusicXML score by parts but 'html'"),
        (b"<score-partwise>", "it is not XML"),
        (b"<score-partwise/>", "it has no part"),
        (b"PK\x03\x04junk", "not a compressed MusicXML file"),
        (b"X:1\n" + b"A" * LARGEST, "is larger than 5 MB"),
    ],
)
def test_what_is_no_tune_gets_one_sentence(data: bytes, said: str) -> None:
    """With the name of the file."""
    with pytest.raises(ChanterdError, match=r"^song\.abc: ") as refused:
        tunes_from(data, "song.abc")
    assert said in str(refused.value)
    assert "\n" not in str(refused.value)


@pytest.mark.parametrize("text", [abc(BAR), musicxml(BAR).replace("UTF-8", "UTF-16")])
def test_either_format_in_utf_16(text: str) -> None:
    """As some editors save a text."""
    [tune] = tunes_from(text.encode("utf-16"), "tune.abc")
    assert [one.note for one in tune.notes] == [Note.LOW_A]


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    """A slip in its name."""
    with pytest.raises(ChanterdError, match="check the name"):
        read_tunes(tmp_path / "gone.abc")
    with pytest.raises(ChanterdError, match="cannot be read"):
        read_tunes(tmp_path)


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"X:1\nK:HP\n" + b"A" * (MOST_OF_TUNE + 1), "one tune in it is longer than 10,000 notes.*divide that tune"),
        (b"X:1\nK:HP\n" + b"{" + b"g" * MOST_OF_TUNE + b"}A", "10,000 notes.*divide that tune"),
        (b"X:1\nK:HP\nA" + b"#" * MOST_OF_TUNE, "10,000 notes.*divide that tune"),
        (b"X:1\nK:HP\n" + b"A999 " * 90, "10,000 notes, gracenotes and bars.*divide that tune"),
        (b"X:1\nK:HP\nA" + b"Z999|" * 20, "10,000 notes.*divide that tune"),
        (b"X:1\nK:HP\n" + b"A" * 9000 + b"\n\n", "50,000 notes.*divide it into several files"),
        (b"X:1\nA\n", "holds more than 1,000 tunes; divide it into several files"),
        (b"X:1\nK:HP\nA" + b"|1" * MOST_OF_TUNE, "10,000 notes.*divide that tune"),
        (b"X:1\nK:HP\nA\n" + b"w:\n" * 100_000, "has 100,003 lines; divide it into files of 100,000 at most"),
        (b"X:1\nK:HP\nA" + b" " * MOST_CHARACTERS + b"B", "500,000 characters.*divide it into several files"),
    ],
)
def test_a_file_that_would_take_long_to_read_is_refused(data: bytes, said: str) -> None:
    """Before it has taken long, in one sentence that says what to do."""
    times = 6 if "50,000" in said else 1200 if "1,000 tunes" in said else 1
    with pytest.raises(ChanterdError, match=said):
        tunes_from(data * times, "long.abc")


def test_a_score_for_pipes_and_drums_gives_the_pipes() -> None:
    """Whichever part is printed first."""
    pipes, head, tail = musicxml(BAR), '<part id="P1">', "</part></score-partwise>"
    drum = (
        '<part id="P0"><measure number="1"><attributes><divisions>1</divisions></attributes><note><unpitched/>'
        "<duration>1</duration></note></measure></part>"
    )
    bass = drum.replace("<unpitched/>", "<pitch><step>C</step><octave>2</octave></pitch>")
    for other in (drum, bass):
        for score in (pipes.replace(head, other + head), pipes.replace(tail, f"</part>{other}</score-partwise>")):
            [tune] = tunes_from(score.encode(), "band.musicxml")
            assert [one.note for one in tune.notes] == [Note.LOW_A]
            assert not tune.remarks


FILES = (
    abc(BAR * 4).encode() + b"|:A>{gcd}c (3ABc-|1,3 c4:|2 [M:6/8]z2 B:|\n",
    musicxml(BAR * 4).encode(),
    mxl(musicxml(BAR * 4)),
)
SPLICES = st.sampled_from(
    [b"|:", b"[1", b"{", b"&", b"\0", b"\xff\xfe", b"<note>", b"<!DOCTYPE", b"-1", b"9" * 30, b"X:1\n"]
)


@settings(max_examples=400, deadline=None)
@given(st.sampled_from(FILES), st.lists(st.tuples(st.floats(0, 1), st.integers(0, 9), SPLICES | st.binary(max_size=3))))
def test_whatever_is_done_to_a_file_it_is_read_or_refused_in_a_sentence(
    data: bytes, changes: list[tuple[float, int, bytes]]
) -> None:
    """Bytes overwritten, left out and put in, anywhere."""
    for where, gone, new in changes:
        at = int(where * len(data))
        data = data[:at] + new + data[at + gone :]
    found = outcome(data)
    if isinstance(found, str):
        assert re.fullmatch(r"song\.abc: [^\n]{5,300}\.", found)
        return
    assert all(note.lasts > 0 for tune in found for note in tune.notes)
    assert all(remark.line > 0 and remark.column > 0 for tune in found for remark in tune.remarks)


def outcome(data: bytes) -> list[Tune] | str:
    """The tunes in it, or what is said of it."""
    try:
        return tunes_from(data, "song.abc")
    except ChanterdError as refused:
        return str(refused)
