"""Tunes against readers of their own, note for note.

Sources: music21's and partitura's MusicXML readers; abc2midi of Debian's ``abcmidi``, an ABC reader in C, which writes
what it reads as MIDI; LilyPond's ``bagpipe.ly`` for the ornaments. music21's ABC reader is no reference: it misreads
gracenotes. The tunes are our own and made-up ones, which are simulated from a fixed seed.
"""

import re
import shutil
import subprocess
import warnings
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

import mido
import music21
import pytest
from music21.note import Note as ReadNote

from chanterd.config import bundled
from chanterd.music.book import standard_book
from chanterd.music.drill import drill_from_words
from chanterd.music.note import Note
from chanterd.music.sounding import melted
from chanterd.music.tunes.abc import read_abc
from chanterd.music.tunes.musicxml import read_musicxml
from chanterd.music.tunes.naming import name_ornaments
from chanterd.music.tunes.tune import Tune
from chanterd.music.ways import find_spelling, ways_in
from tests.music.tunes.tune_writer import Written, abc, musicxml
from tests.outside.made_up_tunes import made_up
from tests.outside.test_engraver import DIFFERENCES, MATCHED, engraved, ours

Heard = list[tuple[int, Fraction, bool]]
"""MIDI number as the letters alone have it, length as a fraction of a whole note, and whether it is a gracenote."""

TICKS = 480
"""Of abc2midi to a quarter."""
ROUNDING = Fraction(2, 4 * TICKS)
"""By which ends may differ: abc2midi rounds gracenotes and triplets to whole ticks, and begins notes a tick late."""
NATURAL = {73: 72, 78: 77}
"""C sharp and F sharp, by MIDI number, as the letters alone have them."""


def ours_of(tune: Tune) -> Heard:
    """What we read, in the order of time."""
    found: Heard = []
    for note in tune.notes:
        found += [(_plain(grace), Fraction(0), True) for grace in note.gracenotes]
        found.append((_plain(note.note), note.lasts, False))
    return found


def _plain(note: Note) -> int:
    return NATURAL.get(sounding(note), sounding(note))


def sounding(note: Note) -> int:
    """The MIDI number of a note as ABC's ``K:HP`` has it, with C and F sharp."""
    return (67, 69, 71, 73, 74, 76, 78, 79, 81)[note]


@pytest.mark.parametrize("seed", range(4))
def test_music21_reads_the_same_notes_from_musicxml(seed: int) -> None:
    """Pitch, exact length and gracenotes, in order; bars begin alike."""
    text = musicxml(made_up(seed))
    score = music21.converter.parseData(text, format="musicxml")
    notes = score.recurse().getElementsByClass(ReadNote)
    theirs = [
        (note.pitch.midi, Fraction(note.duration.quarterLength).limit_denominator(96) / 4, note.duration.isGrace)
        for note in notes
    ]
    assert ours_of(read_musicxml(text.encode())) == theirs


@pytest.mark.parametrize("seed", range(4))
def test_partitura_reads_the_same_notes_from_musicxml(tmp_path: Path, seed: int) -> None:
    """Pitch, exact length and start of each melody note, and its gracenotes in order."""
    path = tmp_path / "tune.musicxml"
    path.write_text(musicxml(made_up(seed)), encoding="utf-8")
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # its own, and those of what it imports
        import partitura  # noqa: PLC0415

        [part] = partitura.load_musicxml(path).parts
    tune = read_musicxml(path.read_bytes())
    per_whole = 4 * 96
    theirs = [
        (Fraction(note.start.t, per_whole), Fraction(note.duration, per_whole), note.midi_pitch)
        for note in part.iter_all(partitura.score.Note)
    ]
    assert [(one.start, one.lasts, _plain(one.note)) for one in tune.notes] == theirs
    graces = [(Fraction(note.start.t, per_whole), note.midi_pitch) for note in part.iter_all(partitura.score.GraceNote)]
    written = [(one.start, _plain(grace)) for one in tune.notes for grace in one.gracenotes]
    assert sorted(graces, key=lambda pair: pair[0]) == written


def abc2midi(text: str, folder: Path) -> list[tuple[int, Fraction]]:
    """Every note that abc2midi makes of a tune, gracenotes too: its MIDI number, and when it ends, in whole notes.

    It takes the time of gracenotes from the note after them, so that each melody note ends as written; they are made so
    short that the longest group fits into the shortest note, for it leaves out what does not fit.
    """
    if shutil.which("abc2midi") is None:
        pytest.fail("There is no abc2midi: install abcmidi (apt-get install abcmidi).")
    source, made = folder / "tune.abc", folder / "tune.mid"
    short_graces = re.sub(r"^K:.*$", r"\g<0>\n%%MIDI gracedivider 48\n%%MIDI gchordoff", text, flags=re.MULTILINE)
    source.write_text(short_graces, encoding="utf-8")
    subprocess.run(["abc2midi", source, "1", "-o", made], check=True, capture_output=True, timeout=60)
    found: list[tuple[int, Fraction]] = []
    for track in mido.MidiFile(made).tracks:
        at = 0
        for message in track:
            at += message.time
            if message.type == "note_off" or (message.type == "note_on" and message.velocity == 0):
                found.append((message.note, Fraction(at, 4 * TICKS)))
    return found


def as_midi(tune: Tune) -> list[tuple[int, Fraction | None]]:
    """The same of what we read; None for the end of a gracenote, which is not written."""
    found: list[tuple[int, Fraction | None]] = []
    for note in tune.notes:
        found += [(sounding(grace), None) for grace in note.gracenotes]
        found.append((sounding(note.note), note.start + note.lasts))
    return found


def same(text: str, folder: Path) -> None:
    """Both read the same from it: every pitch in order, and the end of every melody note to the tick."""
    [tune] = read_abc(text.encode())
    mine, theirs = as_midi(tune), abc2midi(text, folder)
    assert mine
    assert [pitch for pitch, _ in mine] == [pitch for pitch, _ in theirs]
    for (_, own), (_, end) in zip(mine, theirs, strict=True):
        assert own is None or abs(own - end) <= ROUNDING


CONSTRUCTS = (
    "GABc defg a4",
    "A2 A/ A// A3/2 A/4 A6",
    "A>B c<d A>>B c<<d",
    "A>{g}B c<{d}d {g}A>B",
    "(3ABc d (3{g}ABc e {g}(3ABc",
    "(3:2:3ABc (3::2AB c",
    "A-A A-|A A-B",
    "A z B z2 c x d",
    "{g}(AB) {gcd}c {/g}A {GdGe}A {g} A",
    '"D"A "^slow"B !accent!A !segno!c',
    "AB|[L:1/16]cd|[M:3/4]A12|\nL:1/8\nA2",
    "(A(Bc)d) | [|e2f2|] a4|",
    "{g}A{gcd}c- c{GdG}e/>{d}f/ (3{g}ABc z/",
    "A3-A/ B/4c/4d/2 (e/f/)g-|g2 a-a",
    "(5ABcde (4ABcd (2ef (6ABcdef (7ABcdefg",
    "AB\\\ncd\n% a comment\n  % and one more\nef",
    "A|[B]2 c|]d",
    "AB % a comment with notes ABc\ncd\nw: la la\nde",
)
"""Bodies of tunes; each holds what pipers write. Repeats are left out, since abc2midi unfolds them."""


@pytest.mark.parametrize("body", CONSTRUCTS)
def test_abc2midi_reads_the_same_notes_from_each_construct(tmp_path: Path, body: str) -> None:
    """Pitches, gracenotes and lengths."""
    same(f"X:1\nT:Made up\nM:4/4\nL:1/8\nK:HP\n{body}|\n", tmp_path)


@pytest.mark.parametrize("head", ["M:2/4", "M:6/8", "M:C|", "M:4/4\nL:1/16", "M:C"])
def test_abc2midi_gives_notes_the_same_lengths_by_default(tmp_path: Path, head: str) -> None:
    """By L, or by what the standard makes of M."""
    same(f"X:1\nT:Made up\n{head}\nK:HP\nAB c2 {{g}}d/|\n", tmp_path)


@pytest.mark.parametrize("seed", range(4))
def test_abc2midi_reads_the_same_notes_from_made_up_tunes(tmp_path: Path, seed: int) -> None:
    """Every pitch and the end of every note."""
    same(abc(made_up(seed, triplets=False)), tmp_path)


@pytest.mark.parametrize("path", sorted((bundled("configs") / "tunes").glob("*.abc")), ids=lambda path: path.stem)
def test_abc2midi_reads_the_same_notes_from_our_tunes(tmp_path: Path, path: Path) -> None:
    """As written: their repeats and endings are taken off, since abc2midi unfolds them."""
    text = re.sub(r"\|:|:\|\d?|\|\d", "|", path.read_text(encoding="utf-8"))
    assert len(read_abc(text.encode())[0].notes) == len(read_abc(path.read_bytes())[0].notes)
    same(text, tmp_path)


def ways_of(macro: str) -> Iterator[tuple[Note, Note]]:
    """Every note before and every theme note between which the book plays a macro's ornament with its gracenotes."""
    notes, ornament = engraved()[macro], ours()[macro].ornament
    for lead, theme in ways_in(ornament):
        spelling = find_spelling(ornament, lead, theme)
        if spelling is not None and melted(lead, *spelling.on(theme)) == melted(lead, *notes, theme):
            yield lead, theme


@pytest.mark.parametrize("macro", [macro for macro in MATCHED if macro not in DIFFERENCES])
def test_every_macro_of_the_engraver_is_found_and_named_again(macro: str) -> None:
    """Between all notes that its ornament is played between with those gracenotes, in both formats.

    The name may be another for the same sound, since some ornaments have two.
    """
    notes, eighth = engraved()[macro], Fraction(1, 8)
    ways = list(ways_of(macro))
    assert ours()[macro].theme in [theme for _, theme in ways]
    bars = [[Written(lead, eighth), Written(theme, eighth, notes)] for lead, theme in ways]
    [from_abc], from_xml = read_abc(abc(bars).encode()), read_musicxml(musicxml(bars).encode())
    for tune in (from_abc, from_xml):
        named = name_ornaments(tune, standard_book())
        assert [one.place for one in named] == list(range(1, 2 * len(ways), 2))
        for one, (lead, theme) in zip(named, ways, strict=True):
            assert one.drill is not None, (macro, lead, theme)
            drill = drill_from_words(one.drill)
            assert (drill.lead, drill.theme) == (lead, theme)
            steps = [step.note for step in drill.steps]
            assert melted(lead, *steps) == melted(lead, *notes, theme)


def test_the_macros_are_tried_between_many_notes() -> None:
    """Hundreds of ways in, so that no macro is tried from one note only unless it is played from no other."""
    assert sum(len(list(ways_of(macro))) for macro in MATCHED if macro not in DIFFERENCES) > 900
