"""MusicXML, plain and packed: read note for note, and nothing in it reaches the disk or the network."""

import io
import re
import zipfile
from contextlib import suppress
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from chanterd.config import ChanterdError
from chanterd.engraving.musicxml import MusicLine, music_xml
from chanterd.music.drill import drill_from_words
from chanterd.music.note import Note
from chanterd.music.tunes.abc import read_abc
from chanterd.music.tunes.builder import GRID
from chanterd.music.tunes.musicxml import read_musicxml, unpacked
from chanterd.music.tunes.tune import Tune
from tests.music.tunes.tune_writer import Written, abc, musicxml, mxl

notes = st.sampled_from(list(Note))
lengths = st.sampled_from(
    [Fraction(1, 4), Fraction(1, 8), Fraction(3, 16), Fraction(1, 16), Fraction(1, 2), Fraction(1, 12)]
)
written = st.builds(Written, notes, lengths, st.lists(notes, max_size=6).map(tuple))
bars = st.lists(st.lists(written, min_size=1, max_size=6), min_size=1, max_size=6)


def flat(tune: Tune) -> list[tuple[Note, Fraction, tuple[Note, ...]]]:
    """What is played, note by note."""
    return [(one.note, one.lasts, one.gracenotes) for one in tune.notes]


@settings(max_examples=150, deadline=None)
@given(bars)
def test_both_formats_are_read_as_written(written: list[list[Written]]) -> None:
    """Note for note, with starts and gracenotes; bars begin where they were written."""
    meant = [(one.note, one.lasts, one.gracenotes) for bar in written for one in bar]
    [from_abc] = read_abc(abc(written).encode())
    from_xml = read_musicxml(musicxml(written).encode())
    packed = read_musicxml(unpacked(mxl(musicxml(written))))
    assert flat(from_abc) == flat(from_xml) == flat(packed) == meant
    starts = [sum((one.lasts for one in bar), Fraction(0)) for bar in written]
    assert [bar.start for bar in from_abc.bars] == [sum(starts[:index], Fraction(0)) for index in range(len(written))]
    assert from_abc.bars == from_xml.bars


def test_a_second_voice_and_chords_are_left_out() -> None:
    """The first voice is the tune; what goes back in time is another one's."""
    text = musicxml([[Written(Note.LOW_A, Fraction(1, 4)), Written(Note.B, Fraction(1, 4))]])
    other = "<backup><duration>192</duration></backup><note><pitch><step>C</step><octave>3</octave></pitch>"
    other += "<duration>192</duration><voice>2</voice></note>"
    tune = read_musicxml(text.replace("</measure>", other + "</measure>").encode())
    assert [one.note for one in tune.notes] == [Note.LOW_A, Note.B]
    assert tune.remarks == ()


def test_ties_repeats_and_endings() -> None:
    """As in ABC: a tie makes one note."""
    note = "<note><pitch><step>A</step><octave>4</octave></pitch><duration>96</duration>{tie}<voice>1</voice></note>"
    first = note.format(tie='<tie type="start"/>')
    second = note.format(tie='<tie type="stop"/>')
    measures = (
        f'<measure number="1"><barline location="left"><repeat direction="forward"/></barline>{first}</measure>'
        f'<measure number="2"><barline location="left"><ending number="1, 3" type="start"/></barline>{second}'
        '<barline location="right"><repeat direction="backward"/></barline></measure>'
    )
    head = musicxml([[]]).split("<measure")[0]
    body = measures.replace(
        '<measure number="1">', '<measure number="1"><attributes><divisions>96</divisions></attributes>'
    )
    tune = read_musicxml(f"{head}{body}</part></score-partwise>".encode())
    assert [(one.note, one.lasts) for one in tune.notes] == [(Note.LOW_A, Fraction(1, 2))]
    assert [(bar.opens_repeat, bar.closes_repeat, bar.ending) for bar in tune.bars] == [
        (True, False, ()),
        (False, True, (1, 3)),
    ]


@pytest.mark.parametrize("jump", ['dacapo="yes"', 'dalsegno="1"', 'tocoda="1"'])
def test_a_jump_is_said_not_to_be_followed(jump: str) -> None:
    """By its sound, alone or in a direction; a tempo is none."""
    for sound in (f"<sound {jump}/>", f"<direction><direction-type/><sound {jump}/></direction>"):
        text = musicxml([[Written(Note.LOW_A, Fraction(1, 4))]]).replace("</measure>", f"{sound}</measure>")
        [remark] = read_musicxml(text.encode()).remarks
        assert "is not followed" in remark.said
    tempo = musicxml([[Written(Note.B, Fraction(1))]]).replace("</measure>", '<sound tempo="60"/></measure>')
    assert read_musicxml(tempo.encode()).remarks == ()


def test_what_the_chanter_lacks_is_said_with_its_line() -> None:
    """And leaves its time."""
    text = musicxml([[Written(Note.LOW_A, Fraction(1, 4)), Written(Note.B, Fraction(1, 4))]])
    tune = read_musicxml(text.replace("<step>A</step><octave>4</octave>", "<step>C</step><octave>4</octave>").encode())
    [remark] = tune.remarks
    assert "C4 is beyond the nine notes" in remark.said
    assert text.splitlines()[remark.line - 1].startswith("<note>")
    assert [str(one.start) for one in tune.notes] == ["1/4"]


@pytest.mark.parametrize("tie", ['<tie type="start"/>', '<notations><tied type="start"/></notations>'])
def test_a_tie_by_its_sound_or_as_it_is_drawn(tie: str) -> None:
    """Some writers leave one of the two out."""
    text = musicxml([[Written(Note.LOW_A, Fraction(1, 4)), Written(Note.LOW_A, Fraction(1, 4))]])
    [note] = read_musicxml(text.replace("<voice>1</voice></note>", f"<voice>1</voice>{tie}</note>", 1).encode()).notes
    assert note.lasts == Fraction(1, 2)


@pytest.mark.parametrize("duration", ["1e999999999", "-5", "0", "", "9" * 6000, "nan"])
def test_a_duration_that_is_none_is_said(duration: str) -> None:
    """The note is left out, the next one read."""
    text = musicxml([[Written(Note.LOW_A, Fraction(1, 2)), Written(Note.B, Fraction(1, 4))]])
    tune = read_musicxml(text.replace("<duration>192<", f"<duration>{duration}<").encode())
    assert [one.note for one in tune.notes] == [Note.B]
    assert tune.remarks
    assert all(len(remark.said) < 150 for remark in tune.remarks)


@pytest.mark.parametrize("name", ["divisions", "beats", "beat-type"])
def test_numbers_that_are_none_are_said(name: str) -> None:
    """And the notes are still read."""
    text = re.sub(f"<{name}>[0-9]+<", f"<{name}>{'9' * 6000}<", musicxml([[Written(Note.B, Fraction(1, 4))]]))
    tune = read_musicxml(text.encode())
    assert [one.note for one in tune.notes] == [Note.B]
    [remark] = tune.remarks
    assert len(remark.said) < 150


def test_an_archive_with_any_byte_damaged_is_read_or_refused() -> None:
    """In a sentence, whatever zipfile makes of it."""
    good = mxl(musicxml([[Written(Note.LOW_A, Fraction(1, 4))] * 20]))
    for place in range(len(good)):
        damaged = bytearray(good)
        damaged[place] ^= 0x55
        with suppress(ChanterdError):
            read_musicxml(unpacked(bytes(damaged)))


@pytest.mark.parametrize(
    "evil",
    [
        '<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;">]><score-partwise>&b;</score-partwise>',
        '<!DOCTYPE x [<!ENTITY a SYSTEM "file:///etc/passwd">]><score-partwise>&a;</score-partwise>',
        '<!DOCTYPE x [<!ENTITY % a SYSTEM "http://127.0.0.1:9/x.dtd"> %a;]><score-partwise/>',
    ],
)
def test_entities_are_refused(evil: str) -> None:
    """Neither blown up nor fetched."""
    with pytest.raises(ChanterdError, match="entities or refers to other files"):
        read_musicxml(evil.encode())


def test_too_deep_is_refused() -> None:
    """A hundred thousand elements in one another."""
    with pytest.raises(ChanterdError, match="nested more than"):
        read_musicxml(b"<score-partwise>" + b"<a>" * 100_000)


def test_divisions_made_to_keep_us_busy_are_read_at_once() -> None:
    """Thousands of lengths that no common part divides: each is moved by less than anything can show."""
    note = musicxml([[Written(Note.LOW_A, Fraction(1, 4))]]).split("<attributes>")[1].split("</attributes>")[1]
    note = note.split("</measure>")[0].replace("96", "999999937")
    many = "".join(
        f"<attributes><divisions>{999_999_937 - part}</divisions></attributes>{note}" for part in range(0, 5000, 2)
    )
    head = musicxml([[]]).split("<measure")[0]
    tune = read_musicxml(f"{head}<measure number='1'>{many}</measure></part></score-partwise>".encode())
    assert len(tune.notes) == 2500
    assert max(one.start.denominator for one in tune.notes) <= GRID
    assert float(tune.notes[-1].start) == pytest.approx(2499 / 4, rel=1e-4)


@pytest.mark.parametrize("method", [zipfile.ZIP_BZIP2, zipfile.ZIP_LZMA])
def test_what_is_packed_as_no_writer_packs_is_refused(method: int) -> None:
    """MusicXML 4.0 names two ways, stored and deflated; others may ask for memory without end."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", method) as archive:
        archive.writestr("META-INF/container.xml", "<container/>")
    with pytest.raises(ChanterdError, match="packed in a way that MusicXML does not use"):
        unpacked(out.getvalue())


def test_a_packed_bomb_is_refused() -> None:
    """100 MB of blanks in a file of 100 kB."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("META-INF/container.xml", b" " * 100_000_000)
    with pytest.raises(ChanterdError, match="larger than 5 MB when unpacked"):
        unpacked(out.getvalue())


@pytest.mark.parametrize("data", [b"PK\x03\x04", b"PK\x03\x04" + bytes(200), mxl("x")[:-60]])
def test_a_damaged_archive_is_said(data: bytes) -> None:
    """Cut off or overwritten."""
    with pytest.raises(ChanterdError, match="not a compressed MusicXML file, or it is damaged"):
        unpacked(data)


def test_our_own_sheets_can_be_read() -> None:
    """What the engraver writes for a drill is MusicXML: the grip from B to C has its gracenotes and both notes."""
    document = music_xml([MusicLine((drill_from_words("grip from B to C"),))])
    tune = read_musicxml(document.encode())
    assert [(one.note, len(one.gracenotes)) for one in tune.notes] == [(Note.B, 0), (Note.C, 3)]
