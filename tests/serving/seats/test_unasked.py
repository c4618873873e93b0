"""What it takes to listen to somebody for whom nothing was chosen."""

from pathlib import Path
from typing import Any

from chanterd.judging.standard import DEFAULT, read_standards
from chanterd.music.book import standard_book
from chanterd.music.tunes.shelf import Shelf
from chanterd.serving.seats.tunes_at_hand import TunesAtHand
from chanterd.serving.seats.unasked import Unasked


def test_the_book_is_worked_out_once_for_all_seats(tmp_path: Path) -> None:
    """Beside the event loop, and not before somebody plays."""
    asked: list[Any] = []
    hand = TunesAtHand(Shelf(tmp_path))
    unasked = Unasked(standard_book(), read_standards()[DEFAULT], lambda: "2026-03-31", hand, asked.append)
    assert not unasked.ready
    unasked.want()
    unasked.want()
    (work,) = asked
    work()
    assert unasked.ready
    unasked.want()
    assert len(asked) == 1
