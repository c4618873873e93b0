"""Every ornament is found where it is written, and named with the words of the book."""

from fractions import Fraction

import pytest

from chanterd.config import bundled
from chanterd.music.book import standard_book
from chanterd.music.drill import all_drills, drill_from_words
from chanterd.music.sounding import melted
from chanterd.music.tunes.abc import read_abc
from chanterd.music.tunes.naming import GENERAL, name_ornaments
from chanterd.music.tunes.read import read_tunes
from tests.music.tunes.tune_writer import Written, abc

EIGHTH = Fraction(1, 8)


def named(lead: str, gracenotes: str, theme: str) -> tuple[str | None, str | None, str]:
    """Ornament and drill of one group after that note, and what is said."""
    [tune] = read_abc(f"X:1\nL:1/8\nM:4/4\nK:HP\n{lead} {{{gracenotes}}}{theme}|\n".encode())
    [one] = name_ornaments(tune, standard_book())
    return (None if one.ornament is None else one.ornament.name), one.drill, one.said


def test_every_drill_of_the_book_is_found_again() -> None:
    """Written as the book spells it, it is named by a drill that sounds the same from the same note."""
    for drill in all_drills():
        steps = tuple(step.note for step in drill.steps[:-1])
        if not steps:
            continue
        written = [[Written(drill.lead, EIGHTH), Written(drill.theme, EIGHTH, steps)]]
        [tune] = read_abc(abc(written).encode())
        [one] = name_ornaments(tune, standard_book())
        assert one.drill is not None, drill.words
        found = drill_from_words(one.drill)
        assert (found.lead, found.theme) == (drill.lead, drill.theme)
        heard, meant = (melted(one.lead, *(step.note for step in one.steps)) for one in (found, drill))
        assert heard == meant, (one.drill, drill.words)


@pytest.mark.parametrize(
    ("lead", "gracenotes", "theme", "drill"),
    [
        ("B", "GdG", "c", "grip from B to C"),
        ("c", "GdGe", "A", "taorluath from C to low A"),
        ("A", "gcd", "c", "doubling from low A to C"),
        ("A", "Gdc", "d", "throw on D from low A"),
        ("B", "gAGAG", "A", "G gracenote birl from B"),
        # Without its first low A, which the note before is already; the same from B would be two strikes.
        ("A", "GAG", "A", "birl from low A"),
        ("A", "AGAG", "A", "birl from low A"),
        ("B", "GAG", "A", "double strike from B to low A"),
        ("A", "GAGAG", "A", "triple tap birl from low A"),
        # Spelled alike: the name of its own before the general one.
        ("f", "ag", "a", "doubling from F to high A"),
        ("f", "gf", "g", "doubling from F to high G"),
        ("c", "e", "A", "E gracenote from C to low A"),
        ("G", "dc", "d", "half throw on D from low G"),
        ("G", "Gdc", "d", "throw on D from low G"),
        ("G", "d", "G", "D gracenote from low G to low G"),
    ],
)
def test_it_is_named_by_its_sound(lead: str, gracenotes: str, theme: str, drill: str) -> None:
    """Facts of the trade: common practice, no source."""
    assert named(lead, gracenotes, theme)[1] == drill


def test_the_first_note_has_no_way_in() -> None:
    """Its ornament is named, from nowhere."""
    [tune] = read_abc(b"X:1\nL:1/8\nK:HP\n{gcd}c A|\n")
    [one] = name_ornaments(tune, standard_book())
    assert (one.ornament and one.ornament.name, one.drill) == ("doubling", None)
    assert "first note" in one.said


def test_the_first_notes_birl_is_no_strike() -> None:
    """With nothing before it, it is named as it is spelled, by the name of its own."""
    [tune] = read_abc(b"X:1\nL:1/8\nK:HP\n{gAGAG}A B|\n")
    [one] = name_ornaments(tune, standard_book())
    assert one.ornament is not None
    assert one.ornament.name == "G gracenote birl"


@pytest.mark.parametrize(
    ("body", "drills"),
    [
        # A second ending goes on from before the first.
        ("B|:A2 B2|1 {GdG}c2 e2:|2 {GdG}c2 f2|]", ["grip from B to C"] * 2),
        # A grip up to C is played from B and not from E: the repeat has it from B.
        ("e4|:{GdG}c2 A2|c2 B2:|", ["grip from B to C"]),
        ("A4|:{GdG}c2 A2|c2 B2:|", ["grip from low A to C"]),
    ],
)
def test_at_repeats_and_endings_the_way_in_is_the_one_played(body: str, drills: list[str]) -> None:
    """What is played before is not always what is written before."""
    [tune] = read_abc(f"X:1\nM:2/4\nL:1/8\nK:HP\n{body}\n".encode())
    assert [one.drill for one in name_ornaments(tune, standard_book())] == drills


def test_what_the_book_does_not_play_from_there_says_what_takes_its_place() -> None:
    """A full doubling written after high A."""
    ornament, drill, said = named("a", "gef", "e")
    assert (ornament, drill) == ("doubling", None)
    assert "half doubling" in said


def test_what_is_no_ornament_is_spelled_out() -> None:
    """Nobody plays this one."""
    assert named("A", "fdf", "B") == (None, None, "F, D, F before B is not an ornament of the book.")


def test_the_tunes_that_ship_hold_nothing_unknown() -> None:
    """Ours are written with the book's ornaments, each from a note it is played from."""
    paths = sorted((bundled("configs") / "tunes").glob("*.abc"))
    assert len(paths) == 3
    for path in paths:
        for tune in read_tunes(path):
            assert tune.remarks == ()
            assert [one.said for one in name_ornaments(tune, standard_book()) if one.said] == []


def test_the_general_chapter_is_one_of_the_book() -> None:
    """Under another title no strike would give way to an ornament with a name of its own."""
    assert GENERAL in {ornament.chapter for ornament in standard_book().ornaments}
