"""A class afterwards, by player and for the band."""

from pathlib import Path

import pytest

from chanterd.engraving.paper import find_paper
from chanterd.history.ledger import Ledger
from chanterd.history.store import Store, open_store
from chanterd.music.drill import drill_from_words
from chanterd.progress.class_summary import ClassSummary, class_report, class_summary
from chanterd.progress.paper import report_pdf
from tests.history.class_entries import band_rep, begun, run_begun
from tests.history.practised_runs import begun as run_of
from tests.history.practised_runs import closed, judged, somebody


@pytest.fixture
def summary(tmp_path: Path) -> ClassSummary:
    """Ailsa late in every rep, Bram clean at both tempi; the band at 20 ms, then at 64 clicks at 30 and 40."""
    store: Store = open_store(None, tmp_path)
    ledger, klass, number = Ledger(store), begun(tmp_path), 0
    ailsa, bram = somebody(store, "Ailsa"), somebody(store, "Bram")
    for seat, player, offs in (("1", ailsa, [70.0] * 6), ("2", bram, [0.0] * 3), ("2", bram, [2.0] * 3)):
        run = run_of(player)
        number = ledger.write(run_begun(klass, run.key, seat))
        ledger.write(closed(run, judged("grip from B to C", offs)))
    for rep, (bpm, spread_ms) in enumerate(((60.0, 20.0), (64.0, 30.0), (64.0, 40.0), (64.0, None))):
        ledger.write(band_rep(klass, rep, spread_ms, bpm))
    with store.reading() as connection:
        found = class_summary(connection, number, drill_from_words)
    store.close()
    return found


def test_each_player_has_what_is_steady_and_what_comes_next(summary: ClassSummary) -> None:
    """In the order of the seats; runs of one player at several tempi count together."""
    ailsa, bram = summary["players"]
    assert (ailsa["name"], ailsa["clean"], ailsa["played"]) == ("Ailsa", 0, 6)
    assert any("70 ms" in said for said in [*ailsa["steady"], *ailsa["unsteady"]])
    assert ailsa["next"] is not None
    assert ailsa["next"]["drill"].startswith("grip from B to C")
    assert (bram["name"], bram["clean"], bram["played"], bram["longest_row"]) == ("Bram", 6, 6, 6)


def test_the_band_has_its_closeness_by_tempo_and_by_step(summary: ClassSummary) -> None:
    """Root mean squares: of 30 and 40 it is 35.4; a rep of one player alone has no spread and changes nothing."""
    assert [(one["click_bpm"], one["reps"], one["apart_ms"]) for one in summary["by_tempo"]] == [
        (60.0, 1, 20.0),
        (64.0, 3, 35.4),
    ]
    assert [(one["note"], one["apart_ms"]) for one in summary["by_step"]] == [
        ("low G", 31.1),
        ("D", 32.1),
        ("low G", 33.0),
        ("C", 34.0),
    ]


def test_it_is_printed_without_a_ranking(summary: ClassSummary) -> None:
    """Every player under their own name, the drill that helps, the usual cautions; a PDF of its pages."""
    report = class_report(summary)
    headings = [section.heading for section in report.sections]
    assert headings == ["Together", "Ailsa", "Bram", "Take care"]
    assert any("Next: " in said for said in report.sections[1].said)
    table = report.sections[0].table
    assert table is not None
    assert table.rows[1] == ("at 64 clicks", "3 reps", "35 ms")
    assert report_pdf(report, find_paper("a4")).startswith(b"%PDF")


def test_a_class_that_nobody_keeps_still_has_its_band(tmp_path: Path) -> None:
    """It says so, and a drill that is no longer in the book does no harm."""
    store = open_store(None, tmp_path)
    number = Ledger(store).write(band_rep(begun(tmp_path), 0, None))
    with store.reading() as connection:
        found = class_summary(connection, number, lambda _: None)
    store.close()
    assert (found["players"], found["by_tempo"][0]["apart_ms"]) == ([], None)
    assert class_report(found).sections[1].said == ("No player wanted their reps of this class kept.",)
