"""What of a class is handed to the writer."""

from pathlib import Path

from chanterd.history.class_record import band_row, class_row
from tests.history.class_entries import band_rep, begun


def test_a_band_is_kept_to_a_tenth_of_a_millisecond(tmp_path: Path) -> None:
    """Its steps without the names of who played them."""
    row = band_row(7, band_rep(begun(tmp_path), 3, 14.1421))
    assert (row["class_id"], row["number"], row["click_bpm"], row["spread_ms"]) == (7, 3, 60.0, 14.1)
    assert row["steps"][0] == {"step": 0, "note": "low G", "seats": 2, "middle_ms": -160.0, "spread_ms": 14.1}


def test_a_class_is_kept_with_what_was_called(tmp_path: Path) -> None:
    """And the day at its own place."""
    row = class_row(begun(tmp_path))
    assert (row["drill"], row["click_bpm"], row["layout"], row["rule"]) == (
        "grip from B to C",
        60.0,
        "two clicks",
        None,
    )
    assert row["day"] == "2026-09-21"
