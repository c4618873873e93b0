"""A tune as it is listed."""

from fractions import Fraction

from chanterd.music.book import standard_book
from chanterd.music.tunes.abc import read_abc
from chanterd.music.tunes.listing import bars_of, list_tune, position, table_of
from chanterd.music.tunes.tune import Tune


def tune(body: str, meter: str = "2/4") -> Tune:
    """One of these bars."""
    [found] = read_abc(f"X:1\nT:Ours\nM:{meter}\nL:1/8\nK:HP\n{body}\n".encode())
    return found


def test_every_note_is_listed_with_its_ornament() -> None:
    """Exact fractions of a whole note; the index of what is unknown."""
    listed = list_tune(tune("B|{GdG}c2 {fdf}A>B|"), standard_book())
    assert (listed["title"], listed["bars"]) == ("Ours", 1)
    assert listed["notes"][1] == {
        "note": "C",
        "start": "1/8",
        "lasts": "1/4",
        "bar": 1,
        "gracenotes": ["low G", "D", "low G"],
        "ornament": "grip",
        "drill": "grip from B to C",
    }
    assert [(one["start"], one["lasts"]) for one in listed["notes"][2:]] == [("3/8", "3/16"), ("9/16", "1/16")]
    assert [(one["note"], one["gracenotes"]) for one in listed["unknown"]] == [(2, ["F", "D", "F"])]


def test_the_table_says_how_often_and_where() -> None:
    """Bar and beat; the most frequent first; a beat is a dotted quarter in 6/8."""
    rows = list(table_of(tune("{gcd}c3 B2c|{gcd}c3 B{g}AB|", "6/8"), standard_book()))
    assert rows[0][0] == "1"
    assert ("1", "G gracenote from B to low A", "2.2⅓") in rows
    again = list(table_of(tune("B {gcd}c2 B|B {gcd}c2 B|"), standard_book()))
    assert again[0] == ("2", "doubling from B to C", "1.1½, 2.1½")


def test_beats_of_a_pick_up_and_of_a_divided_bar() -> None:
    """A pick-up of an eighth in 2/4 is on the second half of beat 2; the second half of a bar counts on."""
    one = tune("A|B4|c3:|d|e4|")
    assert position(one.bars, Fraction(0)) == (0, Fraction(3, 8))
    assert position(one.bars, one.notes[3].start) == (2, Fraction(3, 8))
    assert bars_of(one) == 3
