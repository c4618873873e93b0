"""Where a player puts the beat of what teachers disagree about, remembered between runs."""

from pathlib import Path

from chanterd.music.drill import drill_from_words
from chanterd.serving.seats.placements import Placements

THEIRS = drill_from_words("birl from E, beat on low A")


def test_a_choice_is_kept_for_its_player_only(tmp_path: Path) -> None:
    """By ornament; choosing the book's own place again leaves nothing behind."""
    Placements(tmp_path).choose("Ailsa", THEIRS)
    placements = Placements(tmp_path)
    assert (dict(placements.of("Ailsa")), dict(placements.of("Bram"))) == ({"birl": "step 1"}, {})
    placements.choose("Ailsa", drill_from_words("birl from B"))
    assert Placements(tmp_path).of("Ailsa") == {}


def test_it_goes_with_the_name_and_with_the_player(tmp_path: Path) -> None:
    """Under a new name it is still theirs; of a player who is deleted nothing is left."""
    placements = Placements(tmp_path)
    placements.choose("Ailsa", THEIRS)
    placements.rename("Ailsa", "Isla")
    assert (dict(placements.of("Ailsa")), dict(placements.of("Isla"))) == ({}, {"birl": "step 1"})
    placements.forget("Isla")
    assert "Isla" not in (tmp_path / "placements.json").read_text()
