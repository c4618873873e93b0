"""The table of common and rare ornaments."""

from chanterd.listening.commonness import commonness
from chanterd.music.book import standard_book


def test_every_ornament_of_the_table_is_in_the_book_by_that_name() -> None:
    """A name that nobody knows would say nothing, unseen."""
    names = {ornament.name for ornament in standard_book().ornaments}
    assert set(commonness()) <= names


def test_what_tunes_are_full_of_is_usual() -> None:
    """Common practice, from memory."""
    assert {commonness()[name] for name in ("G gracenote", "doubling", "grip", "throw on D", "birl")} == {"usual"}
    assert commonness()["half grip"] == "rare"
