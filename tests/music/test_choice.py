"""What a teacher says, and which drills that is."""

import pytest

from chanterd.config import ChanterdError
from chanterd.music.choice import choose
from chanterd.music.drill import all_drills
from chanterd.music.note import Note


def words(*phrases: str) -> list[str]:
    """The chosen drills."""
    return [drill.words for drill in choose(phrases)]


def test_a_name_is_that_ornament_from_wherever_it_is_played() -> None:
    """'grip' is the grip, not the half grip; every way in the book has of it, in the book's order."""
    assert words("grip") == [drill.words for drill in all_drills() if drill.ornament.name == "grip"]
    assert len(words("Grip")) == 46


def test_a_way_in_leaves_only_that_way() -> None:
    """From one note, to one note, or both; a stage is one drill."""
    assert {drill.lead for drill in choose(["taorluath from C"])} == {Note.C}
    assert {drill.theme for drill in choose(["grip to E"])} == {Note.E}
    assert words("grip from b to c") == ["grip from B to C"]
    assert words("birl from E") == ["birl from E"]
    assert words("birl from E, beat on low A") == ["birl from E, beat on low A"]
    placed = words("birl, beat on low A")
    assert placed == [f"{one}, beat on low A" for one in words("birl") if one != "birl from low A"]
    assert words("grip from B to C, stage 1") == ["grip from B to C, stage 1"]


def test_other_names_are_as_good() -> None:
    """An ornament is found by whatever its players call it."""
    named = next(drill.ornament for drill in all_drills() if drill.ornament.also)
    assert {drill.ornament.name for drill in choose([named.also[0]])} == {named.name}


def test_other_words_find_drills_that_hold_them_all() -> None:
    """Words that are no ornament's name search the drills and all names; letters of notes are whole words."""
    found = choose(["strik high A"])
    assert {"half", "thumb"} & {word for drill in found for word in drill.words.split()}
    assert all({"strike", "high", "a"} <= {*drill.words.lower().split()} for drill in found)


@pytest.mark.parametrize(
    ("phrase", "ornament"),
    [
        ("toarluath", "taorluath"),
        ("torluath from C", "taorluath"),
        ("taorluadh", "taorluath"),
        ("crunluadh", "crunluath"),
        ("grace note birl", "G gracenote birl"),
        ("G grace notes", "G gracenote"),
        ("grips", "grip"),
        ("leum luath", "grip"),
        ("dobling", "doubling"),
        ("embari", "bari"),
        ("chedari", "dari"),
        ("rodin", "B gracenote grip"),
        ("hiharin", "D gracenote birl"),
        ("echo beat", "strike"),
        ("G-D-E", "G-D-E run"),
        ("pele", "shake"),
        ("throw from low A", "throw on D"),
    ],
)
def test_ornaments_are_found_by_the_names_that_pipers_use(phrase: str, ornament: str) -> None:
    """Local names and usual misspellings (from memory of common practice, no source)."""
    assert ornament in {drill.ornament.name for drill in choose([phrase])}


@pytest.mark.parametrize("phrase", ["C doubling", "doubling on C", "doublings to C", "doubling onto C"])
def test_a_note_beside_the_name_is_the_melody_note(phrase: str) -> None:
    """'C doubling' is a doubling to C, and not whatever has a C in it."""
    assert words(phrase) == words("doubling to C")


def test_what_goes_by_another_name_is_found_under_it() -> None:
    """A catch to low G is a doubling, and listed as one."""
    assert words("catch from B to low G") == ["doubling from B to low G"]
    assert words("half throw from low G") == ["throw on D from low G"]


def test_phrases_add_up_in_the_order_given_without_repeats() -> None:
    """Several phrases make one sheet."""
    assert words("birl from E", "grip from B to C", "birl") == [
        "birl from E",
        "grip from B to C",
        *(one for one in words("birl") if one != "birl from E"),
    ]


@pytest.mark.parametrize(
    ("phrase", "said"),
    [
        ("gripp", r"^No drill matches 'gripp'\. Did you mean 'grip'\? Also near: '.*' and '.*'\.$"),
        ("zzzzzz", r"^No drill matches 'zzzzzz'\. The nearest are '.*', '.*' and '.*'\.$"),
        (" ", r"^No drill matches ' '\."),
        ("grip from D to C", r"^There is no grip from D to C: "),
        ("grip to D", r"^The grip is not played as 'grip to D' asks; 'grip' alone gives every way\.$"),
        ("grip from H", r"^'h' is not a note of the chanter\."),
        ("grip from B to C, stage 9", r"has no stage 9"),
        (
            "birl, beat on E",
            r"^The birl from low G cannot have its beat on 'E'; its beat is on the low G tap or the low A",
        ),
    ],
)
def test_a_phrase_that_finds_nothing_is_refused_in_a_sentence(phrase: str, said: str) -> None:
    """What was not found, and the likely mend; a sheet is not made without it."""
    with pytest.raises(ChanterdError, match=said):
        choose(["birl", phrase])


def test_no_phrase_at_all_is_refused() -> None:
    """An empty sheet is no sheet."""
    with pytest.raises(ChanterdError, match=r"^A sheet needs at least one drill"):
        choose([])
