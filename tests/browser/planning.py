"""Scenes of plans for the page, in the shapes of ``chanterd.serving.wire.shapes``; all invented."""

from typing import Any, cast

from chanterd.serving.wire.shapes import PlanShown, SessionShown

PLAN: PlanShown = {
    "key": "lighthouse",
    "own": False,
    "trouble": "",
    "can_change": True,
    "name": "An evening in the lighthouse",
    "said": "Two drills and a ladder, about a quarter of an hour.",
    "parts": [
        {
            "name": "Warm-up: one finger",
            "drill": "G gracenote from C to low A",
            "tune": None,
            "counted": "reps",
            "how_long": "3 minutes",
            "warm_up": True,
            "click_bpm": 60.0,
        },
        {
            "name": "Build the grip up",
            "drill": "grip from B to C",
            "tune": None,
            "counted": "reps",
            "how_long": "12 reps",
            "warm_up": False,
            "click_bpm": 60.0,
        },
        {
            "name": "grip from B to C",
            "drill": "grip from B to C",
            "tune": None,
            "counted": "reps",
            "how_long": "ladder 60 to 80, 3 in a row",
            "warm_up": False,
            "click_bpm": 60.0,
        },
    ],
}


def session(**now: Any) -> SessionShown:
    """A session in its second part; ``now`` says what else is so."""
    told: dict[str, Any] = {
        "plan": PLAN,
        "state": "playing",
        "paused": False,
        "part": 1,
        "left_s": None,
        "reps": 7,
        "reps_wanted": 12,
        "said": "Now, 2 of 3. Build the grip up: grip from B to C, 12 reps at 60.",
        "news": "",
        "reminder": "",
        **now,
    }
    return cast("SessionShown", told)
