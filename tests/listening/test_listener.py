"""What is recognised from onsets alone, and when; the ornaments' notes are common practice, no source."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from chanterd.listening.listener import REST_NS, Listener
from chanterd.music.drill import all_drills
from chanterd.music.heard import Onset
from chanterd.music.note import Note
from chanterd.music.ornament import Kind
from chanterd.music.units import NS_PER_MS, Ns
from tests.listening.played_notes import found_in, heard_notes, words_in


@pytest.mark.parametrize(
    ("played", "words"),
    [
        ("B600 G50 d30 G50 c600", "grip from B to C"),
        ("B600 G250 d120 G250 c900", "grip from B to C"),  # an open hand, with nothing known of it yet
        ("A500 g35 c60 d30 c500", "doubling from low A to C"),
        ("c500 G55 d30 G55 e30 A600", "taorluath from C to low A"),
        ("A500 G55 d30 c55 d600", "throw on D from low A"),
        ("A500 g30 A500", "G gracenote from low A to low A"),
        ("e500 A30 G30 A30 G30 A600", "birl from E"),
        ("G500 d30 c60 d500", "throw on D from low G"),  # the first low G sounds already
    ],
)
def test_an_ornament_is_named_with_its_way_in(played: str, words: str) -> None:
    """Whatever the hand's size."""
    assert words_in(played) == [words]


def test_almost_every_drill_of_the_book_is_recognised_as_itself() -> None:
    """Played once, cleanly, with nothing known of the player; what sounds the same may have another name."""
    lengths = {Kind.QUICK: 35, Kind.HELD: 60}
    wrong: list[str] = []
    drills = [
        drill
        for drill in all_drills()
        if len(drill.sounding) > 2 and "introductory" not in drill.ornament.name  # its E may as well be melody
    ]
    for drill in drills:
        steps = [
            f"{drill.steps[index].note.abc}{sum(lengths[kind] for kind in drill.steps[index].stands_for)}"
            for index in drill.sounding[:-1]
        ]
        played = f"{drill.lead.abc}700 {' '.join(steps)} {drill.steps[drill.sounding[-1]].note.abc}700"
        found = found_in(played)
        named = {way.words for one in found for way in ([one.way, *one.others] if one.way else [])}
        if len(found) != 1 or drill.words not in named:
            wrong.append(drill.words)
    assert len(wrong) <= len(drills) // 200, wrong


@pytest.mark.parametrize(
    ("played", "words"),
    [
        ("B600 A8 G50 d30 G50 c600", "grip from B to C"),  # low A sounds when fingers do not move together
        ("A500 G55 d30 c5 c55 d600", "throw on D from low A"),
        ("c500 G55 d30 G4 e30 A600", "taorluath from C to low A"),  # crushed
        ("c500 G55 c30 G55 e30 A600", "taorluath from C to low A"),  # C for D
    ],
)
def test_what_was_meant_is_recognised_through_a_slip(played: str, words: str) -> None:
    """A noise, a bounce, a crushed step, a wrong note."""
    assert words_in(played) == [words]


@pytest.mark.parametrize(
    "played",
    ["e560 f190 e560 d190 c560", "A375 B375 c375 B375 A375", "c300 d100 e300 d100 c400", "B600 c600 d600"],
)
def test_a_melodys_short_notes_are_not_gracenotes(played: str) -> None:
    """Dotted, even, or plain."""
    graced = "A400 g35 A400 g35 A400 g35 A400 g35 A400 g35 A400"
    assert set(words_in(f"{graced} {played}")) == {"G gracenote from low A to low A"}


@st.composite
def dotted(draw: st.DrawFn) -> str:
    """Long and short notes by turns, three to one, that lead to neighbours and never straight back."""
    beat_ms = draw(st.integers(480, 1000))
    place, written = draw(st.integers(0, 8)), list[str]()
    before = -1
    for turn in range(draw(st.integers(8, 24))):
        length = beat_ms * (0.75 if turn % 2 == 0 else 0.25) * draw(st.floats(0.96, 1.04))
        written.append(f"{'GABcdefga'[place]}{length:.0f}")
        moves = [place + step for step in (-2, -1, 1, 2) if 0 <= place + step <= 8 and place + step != before]
        before, place = place, draw(st.sampled_from(moves))
    return " ".join(written)


@settings(max_examples=60, deadline=None, derandomize=True)
@given(dotted())
def test_a_dotted_melodys_short_notes_are_none_with_nothing_known_of_the_player(played: str) -> None:
    """At any tempo from 60 to 125 beats a minute, from the first note on (common practice, no source)."""
    assert words_in(played) == []


def test_a_slow_gracenote_beside_a_long_note_is_one_all_the_same() -> None:
    """The commonest fault of all: what makes it melody is its share of the notes around it."""
    assert words_in("A900 g95 A900") == ["G gracenote from low A to low A"]


def test_what_crosses_takes_its_time_from_the_steps_beside_it() -> None:
    """A short step beside a noise was not crushed, and the ornament is what it would be without the noise."""
    clean = "c500 G55 d30 G55 e30 A600 "
    assert words_in(clean * 3 + "c500 G30 c25 d8 G55 e30 A600") == words_in(clean * 4)


@pytest.mark.parametrize(
    ("played", "words"),
    [
        ("c381 d117 g4 e45 f4 e365 c300", "G gracenote from D to E"),
        ("A170 B160 c150 A150 B170 c150 e160 f306 g4 e562 c259", "G gracenote from F to E"),
    ],
)
def test_a_melody_note_beside_a_crushed_gracenote_is_no_noise(played: str, words: str) -> None:
    """It took no time from a gracenote: nobody's gracenote lasts so long."""
    assert words_in(played) == [words]


def test_where_a_step_is_left_out_the_one_before_it_may_last_on() -> None:
    """The finger comes down when the next one moves."""
    clean = "A600 g35 c60 d30 c600 "
    assert words_in(clean * 3 + "A600 g90 d30 c600")[-1] == "doubling from low A to C"


def test_a_note_that_is_broken_off_for_long_is_a_melody_note() -> None:
    """A crushed G gracenote after the grip is no part of its theme note."""
    assert words_in("c500 G55 d30 G55 e30 A700 g8 A400") == [
        "taorluath from C to low A",
        "G gracenote from low A to low A",
    ]


def test_what_is_no_ornament_of_the_book_is_found_with_its_notes() -> None:
    """Short notes in an order that nobody teaches."""
    (one,) = found_in("B600 e30 G30 f30 G30 a30 B600")
    assert one.way is None
    assert [sound.note for sound in one.sounds] == [Note.E, Note.LOW_G, Note.F, Note.LOW_G, Note.HIGH_A, Note.B]


def test_after_a_silence_an_ornament_has_no_note_before() -> None:
    """It is named, and there is no drill."""
    (one,) = found_in("g35 c60 d30 c700")
    assert one.lead is None
    assert one.way is not None
    assert (one.way.ornament.name, one.way.words) == ("doubling", None)


def test_an_ornament_that_the_book_does_not_play_from_there_is_named() -> None:
    """A grip from C down to B."""
    (one,) = found_in("c600 G50 d30 G50 B700")
    assert one.way is not None
    assert (one.way.ornament.name, one.way.words) == ("grip", None)


def test_it_can_be_read_a_quarter_of_a_second_into_the_theme_note() -> None:
    """Before the note is over; what is final later is the same."""
    listener = Listener()
    heard = [one for one in heard_notes("B600 G50 d30 G50 c600") if isinstance(one, Onset)]
    for one in heard:
        assert listener.hear(one) == []
    (early,) = listener.peek(Ns(heard[-1].at_ns + 250 * NS_PER_MS))
    (final,) = listener.finish(Ns(heard[-1].at_ns + 600 * NS_PER_MS))
    assert early.way is not None
    assert early.way is final.way
    assert early.sounds[:-1] == final.sounds[:-1]


def test_a_silence_makes_it_final() -> None:
    """A tick soon after the player has stopped blowing."""
    listener = Listener()
    heard = heard_notes("B600 G50 d30 G50 c600")
    for one in heard:
        listener.hear(one)
    assert listener.tick(Ns(heard[-1].at_ns + REST_NS // 2)) == []
    assert len(listener.tick(Ns(heard[-1].at_ns + 2 * REST_NS))) == 1


def test_nothing_grows_while_somebody_plays_without_a_rest() -> None:
    """Quick notes only, so that nothing is final by its length: what is kept is bounded."""
    listener = Listener()
    at_ms = 0
    for turn in range(3000):
        at_ms += 60 + turn % 7 * 20
        listener.hear(Onset(Note((turn * 5) % 9), Ns(at_ms * NS_PER_MS)))
    assert len(listener._letters) < 60
    assert len(listener._links) < 60


@pytest.mark.parametrize("ms", [25, 40, 60])
@pytest.mark.parametrize("shaken", ["GA", "GAGc", "GAGe", "GdGe", "cdcedf"])
def test_fingers_that_are_shaken_without_an_end_are_heard_to_the_end(shaken: str, ms: int) -> None:
    """More short notes in a row than any ornament has; no note is part of two."""
    written = f"A700 {' '.join(f'{letter}{ms}' for _ in range(40) for letter in shaken)} B700 G60 d30 G60 c700"
    found = found_in(written)
    assert found
    used = [sound.onset_ns for one in found for sound in one.sounds]
    assert used == sorted(set(used))
