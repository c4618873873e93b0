"""Our spellings against an engraver's, note for note.

The source: LilyPond's ``bagpipe.ly`` (GPL-3 or later), the gracenote macros of a published engraving program, read from
Debian's ``lilypond-data`` at test time; nothing of it is copied into the program. It was compared with after our tables
had been written from the trade.
"""

import re
from functools import cache
from pathlib import Path

import pytest

from chanterd.music.book import standard_book
from chanterd.music.drill import Drill, drill_from_words, make_drill
from chanterd.music.note import Note, note_from_abc
from chanterd.music.ornament import Ornament

SHARED = Path("/usr/share/lilypond")
MACRO = re.compile(r"^(?P<name>\w+)\s*=\s*\{\s*\\pgrace\s*\{(?P<notes>[^\n]*)\}\s*\}", re.MULTILINE)
LETTERS = "GabcdefgA"
"""The nine notes, rising, as the source spells them."""
FEWEST_MATCHED = 150

FAMILIES = {
    "dbl": ("doubling", "GabcdefgA"),
    "hdbl": ("half doubling", "Gabcdef"),
    "tdbl": ("thumb doubling", "Gabcdefg"),
    "shake": ("shake", "abcdef"),
    "hshake": ("half shake", "abcdefg"),
    "tshake": ("thumb shake", "abcdefg"),
    "slur": ("G gracenote strike", "abcdef"),
    "hslur": ("half strike", "abcdefgA"),
    "tslur": ("thumb strike", "abcdefg"),
    "catch": ("G gracenote grip", "abcde"),
    "hcatch": ("half grip", "abcde"),
    "tcatch": ("thumb grip", "abcde"),
}
"""Macros that are named after the ornament and then the theme note: what we call the ornament, and the theme notes."""

OTHERS = {
    "grG": "strike from C to B",
    "gra": "strike from F to E",
    "grb": "B gracenote from low G to low A",
    "grc": "C gracenote from low G to low A",
    "grd": "D gracenote from low G to low A",
    "gre": "E gracenote from low G to low A",
    "grf": "F gracenote from low G to low A",
    "grg": "G gracenote from low G to low A",
    "grA": "thumb gracenote from low G to low A",
    "hdblg": "doubling from E to high G",
    "hdblA": "doubling from E to high A",
    "wshaked": "light shake on D from low A",
    "whshaked": "light half shake on D from low A",
    "wtshaked": "light thumb shake on D from low A",
    "shakeg": "thumb shake from low A to high G",
    "shakeA": "half double strike from E to high A",
    "hshakeA": "half double strike from E to high A",
    "tshakeA": "half double strike from E to high A",
    "wslurd": "light G gracenote strike on D from low A",
    "whslurd": "light half strike on D from low A",
    "wtslurd": "light thumb strike on D from low A",
    "slurg": "thumb strike from low A to high G",
    "slurA": "half strike from low A to high A",
    "tslurA": "half strike from low A to high A",
    "wcatchd": "G gracenote grip from low A to D",
    "whcatchd": "half grip from low A to D",
    "wtcatchd": "thumb grip from low A to D",
    "tripleA": "half triple strike from E to high A",
    "thrwd": "throw on D from low A",
    "Gthrwd": "throw on D from low G",
    "gripthrwd": "heavy throw on D from low A",
    "thrwe": "edre from low G",
    "wthrwe": "light throw on E from low A",
    "thrwf": "dare from low A",
    "birl": "birl from E",
    "wbirl": "birl from low A",
    "gbirl": "G gracenote birl from E",
    "dbirl": "D gracenote birl from low A",
    "grip": "grip from B to C",
    "bgrip": "grip from D to E",
    "egrip": "E gracenote grip from B to C",
    "taor": "taorluath from C to low A",
    "taorjmd": "early taorluath from C",
    "taorold": "taorluath with a redundant low A from C",
    "btaor": "taorluath from D to low A",
    "Gtaor": "taorluath from low G to low A",
    "taoramb": "taorluath a mach from B to B",
    "taoramc": "taorluath a mach from C to C",
    "taoramd": "taorluath a mach on D from D",
    "crun": "crunluath from low A",
    "dcrun": "crunluath from D",
    "Gcrun": "crunluath from low G",
    "crunamb": "crunluath a mach from B",
    "crunamc": "crunluath a mach from C",
    "crunamd": "crunluath a mach on D from D",
    "crunambfosg": "crunluath fosgailte a mach from B",
    "crunamcfosg": "crunluath fosgailte a mach from C",
    "crunamdfosg": "crunluath fosgailte a mach from D",
    "cad": "cadence from B to low A",
    "hcad": "G gracenote and introductory E from B to low A",
    "tcad": "E-D cadence from B to low A",
    "thcad": "introductory E from B to low A",
    "dre": "edre from low G",
    "dare": "dare from low A",
    "bari": "bari from low A",
    "dari": "dari from low A",
    "pthrwd": "throw on D from low A",
    "darodo": "bubbly note from C to B",
    "Gdarodo": "bubbly note from low G to B",
    "pdarodo": "bubbly note from C to B",
    "pGdarodo": "bubbly note from low G to B",
}
"""The drill of ours that is the same ornament, for every other macro."""

FAR_OFF = "The tap of the source is so far off that it takes every finger; ours is on the note below, as elsewhere."
NOTHING_ABOVE = "No gracenote is above high A, so that a shake there is two taps; the source has a tap to low A."
AFTER_D = (
    "From D the inner D of a grip becomes B; the source spells that too, as its light form, and we have only that."
)
DIFFERENCES = {
    "shakeg": ("a f g A", "a g a g f", FAR_OFF),
    "shakeA": ("a g a A", "a g a g", NOTHING_ABOVE),
    "hshakeA": ("a g a A", "a g a g", NOTHING_ABOVE),
    "tshakeA": ("a g a A", "a g a g", NOTHING_ABOVE),
    "slurg": ("a f A", "a g f", FAR_OFF),
    "slurA": ("f A", "a g", FAR_OFF),
    "hslurA": ("a A", "a g", FAR_OFF),
    "tslurA": ("f A", "a g", FAR_OFF),
    "catchd": ("g d G d G", "g d G B G", AFTER_D),
    "hcatchd": ("d G d G", "d G B G", AFTER_D),
    "tcatchd": ("a d G d G", "a d G B G", AFTER_D),
    "Gcrun": ("d G e G f A", "d G e A f A", "What follows the grip does not depend on the lead: both low As stay."),
}
"""Where the notes differ: what the source has, what we have (both in ABC letters), and the reason.

That some of its shakes and strikes on high G and high A cannot really be played, the source says itself.
"""

OLD_CUTTING = "A cutting of the oldest written source; nobody is taught it now."
CADENCE_NOTE = "A long note that only leads in, which is a melody note to us."
NOT_OURS = {
    "grGcad": CADENCE_NOTE,
    "gracad": CADENCE_NOTE,
    "fifteenthcutting": OLD_CUTTING,
    "fifteenthcuttingG": OLD_CUTTING,
    "Gfifteenthcutting": OLD_CUTTING,
    "GfifteenthcuttingG": OLD_CUTTING,
    "seventeenthcutting": OLD_CUTTING,
    "seventeenthcuttingG": OLD_CUTTING,
    "Gseventeenthcutting": OLD_CUTTING,
    "GseventeenthcuttingG": OLD_CUTTING,
    "barluadh": OLD_CUTTING,
    "barluadhG": OLD_CUTTING,
    "Gbarluadh": OLD_CUTTING,
    "GbarluadhG": OLD_CUTTING,
}
"""What the source has and we have not, and why."""

MATCHED = [*OTHERS, *(family + theme for family, (_, themes) in FAMILIES.items() for theme in themes)]


def read_source(shared: Path = SHARED) -> str:
    """The text of the source; a test that needs it fails without it."""
    found = sorted(shared.glob("*/ly/bagpipe.ly"))
    if not found:
        pytest.fail(f"There is no bagpipe.ly under {shared}: install lilypond-data (apt-get install lilypond-data).")
    return found[-1].read_text(encoding="utf-8")


@cache
def engraved() -> dict[str, tuple[Note, ...]]:
    """The notes of every gracenote macro, by its name."""
    return {match["name"]: _notes(match["notes"]) for match in MACRO.finditer(read_source())}


def _notes(written: str) -> tuple[Note, ...]:
    """``g32[ G d]`` as notes; durations, beams and layout are no notes."""
    bare = re.sub(r"\\\w+ #'\([^)]*\)|\d+|[\[\]]", " ", written)
    return tuple(Note(LETTERS.index(letter)) for letter in bare.split())


@cache
def ours() -> dict[str, Drill]:
    """The drill of ours that is the same ornament, for every macro that has one."""
    drills = {macro: drill_from_words(words) for macro, words in OTHERS.items()}
    for family, (name, themes) in FAMILIES.items():
        for theme in themes:
            drills[family + theme] = _whole(standard_book().find(name), Note(LETTERS.index(theme)))
    return drills


def _whole(ornament: Ornament, theme: Note) -> Drill:
    """The ornament on a theme note, from the first note after which every step sounds."""
    drills = (make_drill(ornament, lead, theme) for lead in Note if lead not in (theme, Note.HIGH_G, Note.HIGH_A))
    return next(drill for drill in drills if all(step.sounds for step in drill.steps))


def spelled(drill: Drill) -> tuple[Note, ...]:
    """The notes that sound before the theme."""
    return tuple(step.note for step in drill.steps[:-1] if step.sounds)


def from_abc(letters: str) -> tuple[Note, ...]:
    """Notes from ABC letters with blanks between."""
    return tuple(note_from_abc(letter) for letter in letters.split())


def test_every_macro_is_ours_or_there_is_a_reason() -> None:
    """At least 150 of the source's macros have a counterpart in the book; for each of the others we say why not."""
    assert {*MATCHED, *NOT_OURS} == set(engraved())
    assert len(MATCHED) >= FEWEST_MATCHED
    assert not set(MATCHED) & set(NOT_OURS)


def test_differences_are_about_what_is_compared() -> None:
    """A difference is listed only for a macro that has a counterpart, and gives its reason."""
    assert set(DIFFERENCES) <= set(MATCHED)
    assert all(reason for _, _, reason in DIFFERENCES.values())


@pytest.mark.parametrize("macro", MATCHED)
def test_it_is_spelled_as_the_engraver_spells_it(macro: str) -> None:
    """Note for note, but for the differences that are listed with a reason; and these are still as listed."""
    theirs, drill = engraved()[macro], ours()[macro]
    if macro in DIFFERENCES:
        listed_theirs, listed_ours, _ = DIFFERENCES[macro]
        assert theirs == from_abc(listed_theirs) != spelled(drill)
        assert spelled(drill) == from_abc(listed_ours)
    else:
        assert spelled(drill) == theirs, f"{macro} and '{drill.words}' differ"


def test_a_missing_source_says_what_to_install(tmp_path: Path) -> None:
    """Without the file the checks fail, naming the package that holds it; they are not skipped."""
    with pytest.raises(pytest.fail.Exception, match="install lilypond-data"):
        read_source(tmp_path)
