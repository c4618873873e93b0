"""Whether the player's pulse has been lost."""

from typing import Any

import pytest

from chanterd.music.units import Bpm, Ms
from chanterd.practice.tracking import UNSURE, Tracking


def doubts_after(*anchors_ms: float | None) -> tuple[Tracking, list[bool]]:
    """After reps of 2000 ms whose beats were so far from the pulse; and whether it counted as lost after each."""
    astray = Tracking(Bpm(60), Ms(2000))
    shown = []
    for anchor_ms in anchors_ms:
        rep: Any = {"anchor_ms": anchor_ms}
        astray.take(rep)
        shown.append(astray.doubt != "")
    return astray, shown


@pytest.mark.parametrize(
    ("anchors_ms", "shown"),
    [
        ((0, 501, 0, 501), [False] * 3 + [True]),
        ((0, -501, 0, -501), [False] * 3 + [True]),
        ((0, 499, 0, 499, 0, 499), [False] * 6),
        ((200, 600, 1000, 1200, 1000, 600), [False] * 6),
        ((0, None, 501, None, 0, 501), [False] * 5 + [True]),
        ((0, 501, 0, *[0] * 7, 501), [False] * 11),
    ],
)
def test_three_jumps_in_eight_reps_are_no_stumble(anchors_ms: tuple[float | None, ...], shown: list[bool]) -> None:
    """To either side, more than a quarter of a rep; a slow way there and back is none, nor is a beat not heard."""
    assert doubts_after(*anchors_ms)[1] == shown


def test_it_is_found_again_when_eight_reps_have_not_jumped() -> None:
    """Not at the first that has not: the alarm does not flicker."""
    assert doubts_after(0, 501, 0, 501, *[501] * 8)[1][3:] == [True] * 8 + [False]


def test_figures_are_doubted_for_good() -> None:
    """Once it was lost, also when it has been found again; and never where it was not."""
    kept: Any = {"said": ["You kept 60 clicks a minute."], "sure": True}
    lost, _ = doubts_after(0, 501, 0, 501, *[501] * 8)
    assert lost.with_caution(kept) == {"said": [UNSURE, *kept["said"]], "sure": False}
    assert doubts_after(0, 0)[0].with_caution(kept) == kept
