"""A band's rep as it is sent."""

from chanterd.judging.ensemble import BandRep, OnsetSpread, StepSpread
from chanterd.serving.wire.band import band_frame


def test_a_band_frame_names_no_player_and_rounds_to_a_tenth() -> None:
    """Field by field as other programs rely on it."""
    steps = (StepSpread(0, "low G", {"1": -158.23}, OnsetSpread(1, -158.23, None)),)
    band = BandRep(7, 12, steps, OnsetSpread(12, 3.14, 12.84), 13.46)
    assert band_frame(band) == {
        "kind": "band",
        "rep": 7,
        "seats": 12,
        "steps": [{"step": 0, "note": "low G", "seats": 1, "middle_ms": -158.2, "spread_ms": None}],
        "beat": {"seats": 12, "middle_ms": 3.1, "spread_ms": 12.8},
        "together_ms": 13.5,
    }
