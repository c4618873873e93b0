"""The document: the signs of pipe music, the names of its notes."""

from itertools import pairwise
from xml.etree import ElementTree as ET

import pytest

from chanterd.engraving.musicxml import MusicLine, music_xml, note_names
from chanterd.music.drill import Drill, all_drills, drill_from_words
from tests.engraving.example_drills import GRIP, MELTED, ONE_GRACENOTE, parsed


def notes(*drills: Drill) -> list[ET.Element]:
    """The notes of one line of music."""
    return list(parsed(music_xml([MusicLine(drills)])).iter("note"))


def test_gracenotes_point_up_with_three_beams() -> None:
    """Three gracenotes are one beamed group of 32nds, stems up, without a slash and without time of their own."""
    first, middle, last = notes(GRIP)[1:-1]
    for note, beam in ((first, "begin"), (middle, "continue"), (last, "end")):
        assert [(one.get("number"), one.text) for one in note.iter("beam")] == [(n, beam) for n in ("1", "2", "3")]
        assert (note.findtext("type"), note.findtext("stem")) == ("32nd", "up")
        grace = note.find("grace")
        assert grace is not None
        assert grace.get("slash") == "no"
        assert note.find("duration") is None


def test_a_single_gracenote_has_tails_and_no_beams() -> None:
    """One gracenote alone is a 32nd, which has three tails."""
    (grace,) = notes(ONE_GRACENOTE)[1:-1]
    assert grace.find("beam") is None
    assert grace.findtext("type") == "32nd"


def test_melody_notes_point_down_and_last_a_click() -> None:
    """Lead and theme are quarters, stems down, whatever their height."""
    for drill in (GRIP, drill_from_words("doubling from high G to high A"), drill_from_words("birl from low G")):
        lead, *_, theme = notes(drill)
        assert [(n.findtext("type"), n.findtext("stem"), n.findtext("duration")) for n in (lead, theme)] == [
            ("quarter", "down", "1")
        ] * 2


def test_c_and_f_sound_sharp_and_nothing_says_so() -> None:
    """C and F are raised by a semitone; neither a key signature nor a metre nor an accidental is printed."""
    root = parsed(music_xml([MusicLine((drill_from_words("doubling from C to F"),))]))
    altered = {(n.findtext("pitch/step"), n.findtext("pitch/alter")) for n in root.iter("note")}
    assert altered == {("C", "1"), ("F", "1"), ("G", None)}
    for name in ("key", "time"):
        sign = root.find(f".//{name}")
        assert sign is not None
        assert sign.get("print-object") == "no"
    assert root.find(".//accidental") is None


def test_what_cannot_sound_is_not_printed() -> None:
    """Tunes are printed so: a grip from low G without its first low G, ``{GAG}`` for a birl from low A."""
    assert not MELTED.steps[0].sounds
    assert [note.get("id") for note in notes(MELTED)] == ["lead", "s1", "s2", "theme"]
    for words, printed in {
        "birl from low A": "AGAGA",
        "throw on D from low G": "GDCD",
        "grip from low G to low G": "GDG",
    }.items():
        written = [note.findtext("pitch/step") for note in notes(drill_from_words(words))]
        assert "".join(map(str, written)) == printed


def test_no_note_is_printed_twice_in_a_row() -> None:
    """They would melt into one."""
    for drill in all_drills():
        pitches = [(note.findtext("pitch/step"), note.findtext("pitch/octave")) for note in notes(drill)]
        assert all(one != other for one, other in pairwise(pitches)) or len(pitches) == 2, drill.words


def test_every_drill_of_the_book_is_written_note_for_note() -> None:
    """Each drill gives its lead and each step that sounds, in order and at the written pitch."""
    for drill in all_drills():
        written = [
            (note.findtext("pitch/step"), note.findtext("pitch/octave")) for note in notes(drill)
        ]  # the octave turns at C
        asked = [drill.lead, *(step.note for step in drill.steps if step.sounds)]
        assert written == [(note.words[-1], "5" if note.midi >= 72 else "4") for note in asked], drill.words


def test_drills_side_by_side_have_names_of_their_own() -> None:
    """In a document no two notes have one id, and an id begins with a letter, as XML wants it."""
    root = parsed(music_xml([MusicLine((GRIP, GRIP)), MusicLine((ONE_GRACENOTE,))]))
    names = [note.get("id", "") for note in root.iter("note")]
    assert len({*names}) == len(names)
    assert all(name[0].isalpha() for name in names)
    assert names == [*note_names(GRIP), *note_names(GRIP, 2), *note_names(ONE_GRACENOTE, 3)]


def test_each_line_begins_a_line_and_ends_with_a_double_bar() -> None:
    """A notation program breaks the music where the sheet does."""
    root = parsed(music_xml([MusicLine((GRIP, GRIP)), MusicLine((ONE_GRACENOTE,))]))
    first, second, third = root.iter("measure")
    assert [bar.find("print") is not None for bar in (first, second, third)] == [False, False, True]
    assert [bar.findtext("barline/bar-style") for bar in (first, second, third)] == [None, "light-light", "light-light"]


@pytest.mark.parametrize("title", ["Grips & birls", "<b>", 'say "slow"', "Là a' chaolais"])
def test_any_title_gives_a_well_formed_document(title: str) -> None:
    """A title is text, whatever signs it holds."""
    root = parsed(music_xml([MusicLine((GRIP,), caption=title)], title, 60))
    assert root.findtext("work/work-title") == title
    assert root.findtext(".//words") == title
    sound = root.find(".//sound")
    assert sound is not None
    assert sound.get("tempo") == "60"
