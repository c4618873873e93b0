"""One word about a rep, and how close together a band is."""

from typing import Any

import pytest

from chanterd.serving.wire.wall_words import together_words, trend_words, word_of
from tests.serving.wire.test_wall import rep


@pytest.mark.parametrize(
    ("changed", "word", "way"),
    [
        ({}, "clean", "clean"),
        ({"clean": False, "faults": [{"fault": "late"}], "anchor_ms": 28.4}, "28 late", "late"),
        ({"clean": False, "faults": [{"fault": "early"}], "anchor_ms": -71.0}, "71 early", "early"),
        ({"clean": False, "faults": [{"fault": "crushed"}, {"fault": "late"}]}, "crushed", "other"),
        ({"clean": False, "faults": [{"fault": "wrong ornament"}]}, "another one", "other"),
        ({"clean": False, "skipped": True}, "rests", "rest"),
    ],
)
def test_one_word_a_seat(changed: dict[str, Any], word: str, way: str) -> None:
    """The most important fault, and by how much if it was the beat."""
    assert word_of(rep(**changed)) == (word, way)


def test_how_close_and_whether_it_got_better() -> None:
    """Good ensembles are 27 to 49 ms apart (Rasch 1979, by a thesis that quotes it)."""
    assert "closer than most ensembles" in together_words(20.0)
    assert together_words(74.0) == "On the beat you are 74 ms apart."
    assert together_words(None) == "One player alone is always together."
    assert trend_words([60.0] + [40.0] * 9) == ""
    assert trend_words([60.0] + [40.0] * 10) == "Ten reps ago: 60 ms."
    assert trend_words([30.0] + [40.0] * 10) == "Ten reps ago you were closer: 30 ms."
    assert trend_words([43.0] + [40.0] * 10) == "About as close as ten reps ago."
