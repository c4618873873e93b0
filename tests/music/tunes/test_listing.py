"""A tune as it is listed."""

from chanterd.music.book import standard_book
from chanterd.music.tunes.abc import read_abc
from chanterd.music.tunes.listing import TableRow, bars_of, list_tune, table_of
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
    rows = table_of(tune("{gcd}c3 B2c|{gcd}c3 B{g}AB|", "6/8"), standard_book())
    assert TableRow(1, "G gracenote from B to low A", "2.2⅓", "") in rows
    again = table_of(tune("B {gcd}c2 B|{g}A {gcd}c2 B|B {gcd}c2 B|"), standard_book())
    assert again[0] == TableRow(2, "doubling from B to C", "1.1½, 3.1½", "")
    assert [row.times for row in again] == [2, 1, 1]


def test_the_table_says_what_the_book_has_instead() -> None:
    """An ornament that is not played from the note before, and gracenotes that are none."""
    refused, unknown = table_of(tune("a {gef}e2 {fdf}A|"), standard_book())
    assert (refused.times, refused.name, refused.where) == (1, "doubling, to E", "1.1½")
    assert "Ask for 'half doubling from high A to E'" in refused.said
    assert (unknown.name, unknown.said) == (
        "F, D, F, to low A",
        "F, D, F before low A is not an ornament of the book.",
    )


def test_beats_of_a_pick_up_and_of_a_divided_bar() -> None:
    """A pick-up of an eighth in 2/4 is on the second half of beat 2; the second half of a bar counts on."""
    one = tune("{g}A|B4|c3:|{g}d|e4|")
    assert [row.where for row in table_of(one, standard_book())] == ["0.2½", "2.2½"]
    assert bars_of(one) == 3


def test_beats_after_a_change_of_time() -> None:
    """Each bar has the beats of its own time."""
    one = tune("B4|\nM:6/8\nA3 {gcd}c3|")
    assert [row.where for row in table_of(one, standard_book())] == ["2.2"]
