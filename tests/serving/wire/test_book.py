"""The book as a page shows it."""

from pathlib import Path

from chanterd.music.book import read_book, standard_book
from chanterd.serving.wire.book import beat_in_words, shown_book

SHOWN = {one["name"]: one for one in shown_book(standard_book())["ornaments"]}


def test_every_ornament_is_in_it_in_teaching_order() -> None:
    """The names are the book's, in its order, and each has a chapter and a way to be played."""
    assert list(SHOWN) == [one.name for one in standard_book().ornaments]
    assert all(one["chapter"] and one["how"] and one["ways"] for one in SHOWN.values())


def test_a_grip_has_its_46_ways_in_and_its_build_up() -> None:
    """46 ways (common practice, no source); each names its stages, the whole one last."""
    ways = SHOWN["grip"]["ways"]
    assert len(ways) == 46
    (way,) = (one for one in ways if (one["lead"], one["theme"]) == ("B", "C"))
    assert way["stages"] == ["grip from B to C, stage 1", "grip from B to C"]
    assert way["beats"] == ["C", "C"]


def test_what_is_disputed_has_its_ways_with_the_other_beat_too() -> None:
    """All but those on which nothing would sound there; what is not disputed has none."""
    (other,) = SHOWN["birl"]["placed"]
    assert other["at"] == "step 1"
    assert {way["lead"] for way in SHOWN["birl"]["ways"]} - {way["lead"] for way in other["ways"]} == {"low A"}
    from_e = next(way for way in other["ways"] if way["lead"] == "E")
    assert (from_e["drill"], from_e["beats"][-1]) == ("birl from E, beat on low A", "first short low A")
    assert SHOWN["grip"]["placed"] == []


def test_spellings_name_their_notes_in_words() -> None:
    """A doubling on low G to C is a G gracenote, the theme note, a D gracenote; on high G an F gracenote closes it."""
    first = SHOWN["doubling"]["spellings"][0]
    assert [step["note"] for step in first["steps"]] == ["G gracenote", "the theme note", "D gracenote"]
    high_g = next(one for one in SHOWN["doubling"]["spellings"] if one["themes"] == ["high G"])
    assert [step["note"] for step in high_g["steps"]] == ["the theme note", "F gracenote"]
    assert [step["kind"] for step in first["steps"]] == ["quick", "held", "quick"]


def test_the_beat_is_said_in_words() -> None:
    """Common practice, no source: a grip ends on the beat, a taorluath's E is on it, a doubling begins on it."""
    find = standard_book().find
    assert beat_in_words(find("grip")) == "on the theme note"
    assert beat_in_words(find("taorluath")) == "on the E gracenote"
    assert beat_in_words(find("birl")) == "on the low G tap"
    assert beat_in_words(find("doubling")) == "on the first step"


def test_spellings_name_the_notes_they_are_played_from() -> None:
    """After D the inner D of a taorluath is a B (common practice, no source); from all others it is a D."""
    on_low_a = [one for one in SHOWN["taorluath"]["spellings"] if "low A" in one["themes"]]
    leads = {one["steps"][1]["note"]: one["leads"] for one in on_low_a}
    assert leads == {"B gracenote": ["D"], "D gracenote": ["low G", "low A", "B", "C", "E", "F", "high G", "high A"]}
    assert {one["since"] for one in on_low_a} == {""}


def test_a_spelling_that_takes_the_place_of_one_that_cannot_sound_says_why(tmp_path: Path) -> None:
    """A teacher's doubling that leaves the G gracenote out after high G."""
    (tmp_path / "ornaments.toml").write_text(
        '[[ornament]]\nname = "kitchen doubling"\nhow = "As we play it."\nbeat = "step 1"\n'
        '[[ornament.spelled]]\nthemes = ["C"]\nsteps = ["g quick", "T held", "d quick"]\n'
        '[[ornament.spelled]]\nthemes = ["C"]\nsteps = ["T held", "d quick"]\n'
    )
    shown = {one["name"]: one for one in shown_book(read_book(tmp_path))["ornaments"]}
    usual, other = shown["kitchen doubling"]["spellings"]
    assert "high G" not in usual["leads"]
    assert other["leads"] == ["high G", "high A"]
    assert other["since"] == "from high G the G gracenote cannot sound"
