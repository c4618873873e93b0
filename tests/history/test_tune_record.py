"""A run through a tune, as the writer gets it when it is over."""

from pathlib import Path

from chanterd.history.tune_record import TuneRunEnded
from chanterd.serving.seats.tune_asked import TuneWords
from tests.bench.tune_performances import shipped
from tests.serving.played_seat import Sitting


def test_a_run_is_kept_with_how_each_ornament_went(tmp_path: Path) -> None:
    """Once, when it is over; nothing of a run in which nothing was played."""
    with Sitting(tmp_path) as sitting:
        put: list[object] = []
        sitting.daemon.history.writer.put = put.append  # type: ignore[method-assign, assignment]
        words = TuneWords(116.0, 4, 9)
        sitting.daemon.play_tune(None, "seven-gulls", shipped("seven-gulls"), words)
        sitting.seat.stop_practice()
        assert put == []
        sitting.daemon.play_tune(None, "seven-gulls", shipped("seven-gulls"), words)
        sitting.perform(8.0)
        sitting.seat.stop_practice()
        [entry] = put
        assert isinstance(entry, TuneRunEnded)
        passage = entry.passage
        assert (passage.tune, passage.first, passage.last, passage.click_bpm) == ("seven-gulls", 4, 9, 116.0)
        assert [way.drill for way in passage.ways] == [
            "G gracenote from F to E",
            "doubling from E to E",
            "doubling from low A to C",
        ]
        assert sum(way.played for way in passage.ways) == passage.ornaments
        assert sum(way.clean for way in passage.ways) == passage.clean
        assert entry.begun.player == sitting.seat.player.number
