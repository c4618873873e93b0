"""From which notes each ornament is played to which. Facts of the trade: common practice, no source."""

import pytest

from chanterd.music.book import standard_book
from chanterd.music.note import Note, note_from_abc
from chanterd.music.ornament import Ornament
from chanterd.music.ways import any_of, find_spelling, from_to, leads_to, ways_in, why_not


def ornament(name: str) -> Ornament:
    """The ornament of that name in the book that ships."""
    return standard_book().find(name)


def notes(letters: str) -> list[Note]:
    """Notes from ABC letters."""
    return [note_from_abc(letter) for letter in letters]


@pytest.mark.parametrize(
    ("name", "count"),
    [
        ("grip", 46),
        ("taorluath", 21),
        ("throw on D", 9),
        ("heavy throw on D", 9),
        ("birl", 9),
        ("G gracenote birl", 7),
        ("thumb birl", 8),
        ("G gracenote", 49),
        ("crunluath", 9),
    ],
)
def test_an_ornament_is_played_as_many_ways_as_the_trade_knows(name: str, count: int) -> None:
    """46 grips, 21 taorluaths, a throw and a birl from all nine notes; a G gracenote from none of the two highest."""
    assert len(list(ways_in(ornament(name)))) == count


def test_a_grip_rises_among_the_low_notes_and_leads_from_anywhere_to_the_high_ones() -> None:
    """Ten ways among low G to C, level or up, and none to D; from all nine notes to E, F, high G and high A."""
    ways = set(ways_in(ornament("grip")))
    low = {(lead, theme) for lead, theme in ways if theme < Note.D}
    assert low == {(lead, theme) for lead in notes("GABc") for theme in notes("GABc") if theme >= lead}
    assert len(low) == 10
    assert ways - low == {(lead, theme) for lead in Note for theme in notes("efga")}


def test_a_taorluath_leads_from_anywhere_to_low_g_and_low_a_and_rises_among_b_and_c() -> None:
    """Any note to low G and low A; B to B, B to C, C to C."""
    low = {(lead, theme) for lead in Note for theme in (Note.LOW_G, Note.LOW_A)}
    assert set(ways_in(ornament("taorluath"))) == low | {(Note.B, Note.B), (Note.B, Note.C), (Note.C, Note.C)}


@pytest.mark.parametrize("theme", [note for note in Note if note < Note.HIGH_G])
def test_the_three_doublings_share_the_leads_among_them(theme: Note) -> None:
    """A doubling from all but the two highest notes, a thumb doubling from all but high A, a half one but itself."""
    assert leads_to(ornament("doubling"), theme) == notes("GABcdef")
    assert leads_to(ornament("thumb doubling"), theme) == notes("GABcdefg")
    assert leads_to(ornament("half doubling"), theme) == [note for note in Note if note != theme]


def test_a_strike_needs_a_note_above_it_to_come_from() -> None:
    """A tap to low G is heard from any note but low G, one to low A from the notes above low A."""
    assert leads_to(ornament("strike"), Note.B) == notes("ABcdefga")
    assert leads_to(ornament("strike"), Note.E) == notes("Bcdefga")


def test_after_d_the_inner_gracenote_of_a_grip_is_b() -> None:
    """A D gracenote cannot be played with the fingers that a D has down; so too in a taorluath and a crunluath."""
    for name, theme in (("grip", Note.E), ("taorluath", Note.LOW_A), ("crunluath", Note.E)):
        for lead in leads_to(ornament(name), theme):
            spelling = find_spelling(ornament(name), lead, theme)
            assert spelling is not None
            assert spelling.on(theme)[1] is (Note.B if lead is Note.D else Note.D)


REASONS = {
    ("doubling", "gc"): "from high G the G gracenote cannot sound; the thumb doubling takes its place",
    ("doubling", "ac"): "from high A the G gracenote cannot sound, being the lower of the two; the half doubling takes "
    "its place",
    ("half doubling", "cc"): "the C that belongs on the beat would melt into the C before it; the doubling takes its "
    "place",
    ("grip", "Bd"): "it is played only to low G, low A, B, C, E, F, high G or high A; the throw on D takes its place",
    ("grip", "cA"): "to low A it is played only from low G or low A; the taorluath takes its place",
    ("birl", "Bc"): "it is played only to low A",
    ("G gracenote birl", "gA"): "from high G the G gracenote cannot sound; the thumb birl takes its place",
    ("bari", "ge"): "from high G the E gracenote cannot sound, being the lower of the two; ask for it from low G, low "
    "A, B, C or D",
    ("taorluath a mach on D", "cd"): "it is played only from D",
}


@pytest.mark.parametrize(("name", "way"), REASONS)
def test_the_reason_is_given_with_what_to_play_instead(name: str, way: str) -> None:
    """A sentence that can be read aloud."""
    lead, theme = notes(way)
    said = why_not(ornament(name), lead, theme)
    assert said.startswith(f"There is no {from_to(ornament(name), lead, theme)}: {REASONS[name, way]}.")


def test_the_words_to_ask_for_instead_are_given() -> None:
    """Ready to be typed."""
    assert why_not(ornament("doubling"), Note.HIGH_G, Note.C) == (
        "There is no doubling from high G to C: from high G the G gracenote cannot sound; the thumb doubling takes its "
        "place. Ask for 'thumb doubling from high G to C'."
    )


@pytest.mark.parametrize("asked", standard_book().ornaments, ids=lambda one: one.name)
def test_what_is_suggested_instead_can_be_played(asked: Ornament) -> None:
    """Wherever an ornament is not played, an answer that names another drill names one that is there."""
    for lead in Note:
        for theme in Note:
            if find_spelling(asked, lead, theme) is None:
                said = why_not(asked, lead, theme)
                assert said.startswith("There is no ")
                assert said.endswith(".")
                _, _, drill = said.partition("Ask for '")
                if drill:
                    name, _, way = drill.removesuffix("'.").rpartition(" from ")
                    other = ornament(name)
                    assert find_spelling(other, lead, theme)
                    assert f"{name} from {way}" == from_to(other, lead, theme)


def test_notes_are_listed_as_they_are_said() -> None:
    """With commas, and 'or' before the last."""
    assert [any_of(notes(letters)) for letters in ("B", "Bc", "ABc")] == ["B", "B or C", "low A, B or C"]
