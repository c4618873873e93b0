"""From a chain of links to notes, each time that one was reached."""

from chanterd.following.states import MERGED, MISSING, PLAYED, WRONG_NOTE
from chanterd.following.tunes.follow import TuneFollower
from chanterd.following.tunes.visits import Visit, visits_of
from chanterd.music.book import standard_book
from chanterd.music.note import Note
from chanterd.music.spread import standard_spread
from chanterd.music.tunes.abc import read_abc
from chanterd.music.tunes.passage import make_passage
from chanterd.music.tunes.segments import Segments

[TUNE] = read_abc(b"X:1\nM:2/4\nL:1/8\nK:HP\n|: A2 {g}A B | {GdG}c4 :| d4 | e4 |\n")
SCORE = Segments(make_passage(TUNE), standard_book(), standard_spread(), 5e8).score()
NOTE = {note.abc: note for note in Note}


def visits(letters: str) -> list[Visit]:
    """Of notes a third of a second each; gracenotes, in braces, are shorter."""
    follower = TuneFollower(SCORE, 5e8)
    at_ns, quick = 0, False
    for letter in letters:
        quick = letter == "{" or (quick and letter != "}")
        if letter in NOTE:
            follower.hear(NOTE[letter], at_ns)
            at_ns += 30_000_000 if quick else 330_000_000
    return visits_of(follower.chain(), follower.notes, follower.graph)


def test_a_repeat_is_a_second_time_through_and_time_goes_on() -> None:
    """Clicks count on where the notes do not."""
    found = visits("A{g}AB{GdG}cA{g}AB{GdG}cde")
    assert [(one.segment, one.time_through) for one in found] == [
        *[(0, 1), (1, 1), (2, 1), (3, 1)],
        *[(0, 2), (1, 2), (2, 2), (3, 2)],
        *[(4, 1), (5, 1)],
    ]
    assert [one.clicks for one in found] == [0, 1, 1.5, 2, 4, 5, 5.5, 6, 8, 10]
    assert not any(one.leap for one in found)
    assert found[3].onsets == [4, 5, 6, 7]


def test_a_gracenote_left_out_melts_its_neighbours() -> None:
    """Two low As without the gracenote between them are one sound."""
    found = visits("AB{GdG}cd")
    assert found[1].states == [MISSING, MERGED]
    assert found[1].onsets == [None, None]
    assert found[1].reached


def test_an_ornament_left_out_a_wrong_note_and_an_extra_one() -> None:
    """Each where it belongs."""
    left_out = visits("A{g}ABcde")[3]
    assert left_out.states == [MISSING, MISSING, MISSING, PLAYED]
    wrong = visits("A{g}AB{GdG}fde")[3]
    assert wrong.states == [PLAYED, PLAYED, PLAYED, WRONG_NOTE]
    extra = visits("A{g}AB{GdfG}cde")[3]
    assert extra.extras == [6]


def test_a_bar_begun_once_more_is_a_leap() -> None:
    """And another coming-by of its notes."""
    found = visits("A{g}ABA{g}AB{GdG}cde")
    assert [(one.segment, one.time_through, one.leap) for one in found[:5]] == [
        *[(0, 1, False), (1, 1, False), (2, 1, False)],
        *[(0, 2, True), (1, 2, False)],
    ]


def test_what_is_written_after_the_last_note_and_equals_it_melts() -> None:
    """It is reached, without an onset; only once nothing more is heard."""
    [tune] = read_abc(b"X:1\nM:2/4\nL:1/8\nK:HP\nB2 {g}A A | A2 c2 |\n")
    score = Segments(make_passage(tune), standard_book(), standard_spread(), 5e8).score()
    follower = TuneFollower(score, 5e8)
    for index, letter in enumerate("BgA"):
        follower.hear(NOTE[letter], index * 330_000_000)
    ended = visits_of(follower.chain(), follower.notes, follower.graph, over=True)
    assert [one.states[-1] for one in ended] == [PLAYED, PLAYED, MERGED, MERGED]
    assert [one.clicks for one in ended] == [0, 1, 1.5, 2]
    assert len(visits_of(follower.chain(), follower.notes, follower.graph)) == 2


def test_a_last_note_that_rings_into_the_next_is_that_one_too() -> None:
    """Its gracenotes were left out. Who ends a little late, or rings for nobody knows how long, played one note."""
    [tune] = read_abc(b"X:1\nM:2/4\nL:1/8\nK:HP\n| B2 A2 | {g}A4 |\n")
    score = Segments(make_passage(tune), standard_book(), standard_spread(), 5e8).score()
    follower = TuneFollower(score, 5e8)
    follower.hear(Note.B, 0)
    follower.hear(Note.LOW_A, 500_000_000)
    chain, notes, graph = follower.chain(), follower.notes, follower.graph
    rang = visits_of(chain, notes, graph, over=True, rings=3.0)
    assert [(one.segment, one.states) for one in rang] == [(0, [PLAYED]), (1, [PLAYED]), (2, [MISSING, MERGED])]
    for rings in (1.2, None):
        assert [one.segment for one in visits_of(chain, notes, graph, over=True, rings=rings)] == [0, 1]
    assert [one.segment for one in visits_of(chain, notes, graph, rings=3.0)] == [0, 1]
