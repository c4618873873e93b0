"""Previews: a rep is read as soon as its ornament seems to be over, and its close is none the different for it."""

import pytest

from chanterd.following.closing import SETTLED_NS, UNFINISHED_NS
from chanterd.following.follow import Follower
from chanterd.following.preview import Preview
from chanterd.following.reading import SegmentRead
from chanterd.music.heard import Onset
from chanterd.music.note import Note
from chanterd.music.units import Ns
from tests.following.simulated_players import DRILLS, MS, follow, melted, player, states

TICK_NS = 20 * MS


def listen(words: str, onsets: list[Onset], until_ns: int) -> tuple[list[tuple[int, SegmentRead]], list[SegmentRead]]:
    """Hear the onsets while time passes tick by tick: every preview with its time, and every final reading."""
    plays = player(words)
    follower = Follower(plays.score, plays.grid)
    preview, previews, final = Preview(follower), list[tuple[int, SegmentRead]](), list[SegmentRead]()
    left = list(onsets)
    for now_ns in range(-500 * MS, until_ns, TICK_NS):
        while left and left[0].at_ns <= now_ns:
            final += [one for one in follower.hear(left.pop(0)) if isinstance(one, SegmentRead)]
        final += [one for one in follower.tick(Ns(now_ns)) if isinstance(one, SegmentRead)]
        read = preview.read(Ns(now_ns))
        previews += [] if read is None else [(now_ns, read)]
    return previews, final


@pytest.mark.parametrize("words", DRILLS)
def test_every_rep_is_previewed_once_and_as_it_closes(words: str) -> None:
    """On clean playing the preview has the steps of the close, a quarter of a second after the theme note at most."""
    plays = player(words)
    onsets = list(melted([one for number in range(6) for one in plays.rep(number)]))
    previews, final = listen(words, onsets, plays.grid.at(12.9))
    assert [read.rep for _, read in previews] == list(range(6))
    assert [states(read) for _, read in previews] == [states(read) for read in final]
    for at_ns, read in previews:
        theme_ns = plays.grid.at(2 * read.rep) + plays.score.segments[0].offsets_ns[-1]
        assert at_ns - theme_ns + TICK_NS >= SETTLED_NS
        assert at_ns - theme_ns <= SETTLED_NS + TICK_NS


@pytest.mark.parametrize("words", DRILLS)
def test_looking_changes_nothing(words: str) -> None:
    """A run with mistakes, looked at on every tick, closes with the readings of one that nobody looked at."""
    plays = player(words)
    onsets = [one for number in range(8) for one in plays.rep(number, late_ms=(number * 37) % 90 - 40)]
    onsets = list(melted([one for index, one in enumerate(onsets) if index % 11 != 3]))
    onsets = [Onset(Note.E, one.at_ns) if index % 17 == 5 else one for index, one in enumerate(onsets)]
    _, final = listen(words, onsets, plays.grid.at(18))
    assert final == follow(player(words), list(onsets))[: len(final)]
    assert len(final) == 8


def test_an_ornament_broken_off_is_previewed_when_its_theme_note_is_overdue() -> None:
    """Not while it may still go on: both after its last note and after the theme note was due some time passes."""
    plays = player()
    onsets = plays.rep(0)[:3]  # the note before, low G, D
    previews, _ = listen("grip from B to C", list(onsets), plays.grid.at(1.9))
    [(at_ns, read)] = previews
    assert states(read)[-1] == "missing"
    assert at_ns >= onsets[-1].at_ns + UNFINISHED_NS
    assert at_ns >= plays.grid.at(1) + SETTLED_NS


def test_the_note_before_alone_is_no_attempt() -> None:
    """A player who rests on the note before gets no verdict until the rep closes."""
    plays = player()
    previews, _ = listen("grip from B to C", plays.rep(0)[:1], plays.grid.at(1.9))
    assert previews == []


def test_a_late_player_is_waited_for() -> None:
    """180 ms late all along: the preview counts from the theme note as played, not from when it was due."""
    plays = player()
    previews, _ = listen("grip from B to C", plays.rep(0, late_ms=180), plays.grid.at(1.9))
    [(at_ns, read)] = previews
    assert states(read) == ["played"] * 4
    assert at_ns >= plays.grid.at(1) + 180 * MS + SETTLED_NS
