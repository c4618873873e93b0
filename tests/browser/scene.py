"""Scenes for the page: drills in time and simulated reps of them, in the shapes of ``chanterd.serving.wire.shapes``.

All of it is simulated; nobody played it. Times in ms; deviations + = late; the generator is seeded, so a scene is
always the same. Spellings and the beat: common practice, no source. Step lengths: an open, slow style, our choice.
"""

import random
from dataclasses import dataclass
from typing import Any, Literal, cast

from chanterd.judging.report import ExtraResult, FaultResult, LeadResult, RepResult, StepResult
from chanterd.practice.feedback.feedback import FeedbackShown
from chanterd.serving.status import Lateness, Pages, SeatStatus, Status
from chanterd.serving.wire import shapes
from chanterd.serving.wire.drill import DrillShown, StepShown
from chanterd.serving.wire.grid import GridShown
from tests.browser.placed_reps import segments
from tests.browser.step_lengths import lengths_of

Kind = Literal["quick", "held", "theme"]
LENGTH_MS: dict[Kind, float] = {"quick": 34.0, "held": 62.0}


@dataclass(frozen=True, slots=True)
class Drill:
    """One drill: the steps before the theme note, and which step (the theme note is the last) is on the beat."""

    ornament: str
    lead: str
    theme: str
    steps: tuple[tuple[str, Kind], ...]
    beat_step: int

    @property
    def words(self) -> str:
        """The words for it; a throw on D names its theme note already."""
        return f"{self.ornament} from {self.lead}" + ("" if "on D" in self.ornament else f" to {self.theme}")


DRILLS = (
    Drill("grip", "B", "C", (("low G", "held"), ("D", "quick"), ("low G", "held")), 3),
    Drill("doubling", "low A", "C", (("high G", "quick"), ("C", "held"), ("D", "quick")), 0),
    Drill("taorluath", "C", "low A", (("low G", "held"), ("D", "quick"), ("low G", "held"), ("E", "quick")), 3),
    Drill("throw on D", "low A", "D", (("low G", "held"), ("D", "quick"), ("C", "held")), 1),
    Drill("birl", "E", "low A", (("low A", "held"), ("low G", "quick"), ("low A", "held"), ("low G", "quick")), 1),
    Drill("G gracenote", "C", "low A", (("high G", "quick"),), 0),
)


def drill_named(words: str) -> Drill | None:
    """The drill of those words, case ignored."""
    return next((one for one in DRILLS if one.words.lower() == words.lower()), None)


def asked(drill: Drill, click_bpm: float = 60.0, stretch: float = 1.0) -> DrillShown:
    """The drill in time; ``stretch`` makes its steps longer (2.0) or tighter (0.5)."""
    beat_ms = 60_000.0 / click_bpm
    lengths = [LENGTH_MS[kind] * stretch for _, kind in drill.steps]
    starts = [sum(lengths[:index]) for index in range(len(lengths) + 1)]
    zero = starts[drill.beat_step]
    steps: list[StepShown] = [
        {
            "step": index,
            "note": note,
            "kind": kind,
            "sounds": True,
            "offset_ms": starts[index] - zero,
            "length_ms": lengths[index],
        }
        for index, (note, kind) in enumerate(drill.steps)
    ]
    theme: StepShown = {
        "step": len(steps),
        "note": drill.theme,
        "kind": "theme",
        "sounds": True,
        "offset_ms": starts[-1] - zero,
        "length_ms": beat_ms - (starts[-1] - zero),
    }
    return {
        "drill": drill.words,
        "ornament": drill.ornament,
        "lead": drill.lead,
        "theme": drill.theme,
        "spelled": ", ".join(note for note, _ in drill.steps) + f", then {drill.theme}",
        "beat_step": drill.beat_step,
        "lead_offset_ms": -beat_ms,
        "lead_sounds": True,
        "end_offset_ms": beat_ms,
        "clicks_ms": [-beat_ms, 0.0],
        "steps": [*steps, theme],
    }


def grid(click_bpm: float = 60.0, beat0_ns: int = 0) -> GridShown:
    """The default layout: two clicks a rep, the ornament's beat on the second."""
    return {
        "beat0_ns": beat0_ns,
        "click_bpm": click_bpm,
        "count_in": 4,
        "clicks_per_rep": 2,
        "ornament_beat": 1,
        "click_off": False,
    }


def rep(wanted: DrillShown, click_bpm: float, index: int, *, late_ms: float = 0.0, noise_ms: float = 6.0) -> RepResult:
    """One simulated rep, played ``late_ms`` late with that much noise on every onset."""
    dice = random.Random(f"{wanted['drill']} {index}")  # noqa: S311 - a simulated player, not a secret
    beat_ms = (2 * index + 1) * 60_000.0 / click_bpm
    # In order of time: a chanter sounds one note after the other.
    onsets = sorted(beat_ms + step["offset_ms"] + late_ms + dice.gauss(0, noise_ms) for step in wanted["steps"])
    shifts = [onset - beat_ms - step["offset_ms"] for step, onset in zip(wanted["steps"], onsets, strict=True)]
    ends = [*onsets[1:], beat_ms + wanted["end_offset_ms"]]
    steps: list[StepResult] = [
        {
            "step": step["step"],
            "note": step["note"],
            "kind": step["kind"],
            "state": "played",
            "expected_ms": beat_ms + step["offset_ms"],
            "onset_ms": onset,
            "deviation_ms": shift,
            "length_ms": end - onset,
        }
        for step, shift, onset, end in zip(wanted["steps"], shifts, onsets, ends, strict=True)
    ]
    lead_ms = beat_ms + wanted["lead_offset_ms"]
    lead: LeadResult = {
        "note": wanted["lead"],
        "state": "played",
        "expected_ms": lead_ms,
        "onset_ms": lead_ms + 9.0,
        "deviation_ms": 9.0,
        "length_ms": onsets[0] - lead_ms - 9.0,
    }
    return {
        "rep": index,
        "lead": lead,
        "clean": True,
        "skipped": False,
        "faults": [],
        "said": "Clean.",
        "anchor_ms": shifts[wanted["beat_step"]],
        "placement": {
            "off_ms": shifts[wanted["beat_step"]],
            "of_click": shifts[wanted["beat_step"]] / (60_000.0 / click_bpm),
        },
        "shape": {"held": lengths_of(steps, "held"), "quick": lengths_of(steps, "quick")},
        "around": {
            "lead": {"length_ms": lead["length_ms"], "asked_ms": beat_ms - lead_ms, "off_ms": 0.0},
            "theme": {"length_ms": steps[-1]["length_ms"], "asked_ms": wanted["end_offset_ms"], "off_ms": 0.0},
        },
        "steps": steps,
        "extras": [],
    }


def fault(name: str, step: int | None, said: str) -> FaultResult:
    """A fault with what to do about it."""
    drill = "grip from B to C, stage 1"
    return {"fault": name, "step": step, "said": said, "do": "Build it up, slowly.", "drill": drill}


def faulty(good: RepResult, found: FaultResult) -> RepResult:
    """The same rep with a fault found in it."""
    return {**good, "clean": False, "faults": [found], "said": found["said"]}


def crushed(good: RepResult, step: int, length_ms: float = 11.0) -> RepResult:
    """The same rep with one step crushed: the step after it comes too soon."""
    steps = [StepResult(**one) for one in good["steps"]]
    onset = steps[step]["onset_ms"] or 0.0
    steps[step]["length_ms"] = length_ms
    after = steps[step + 1]
    after["length_ms"] = (after["onset_ms"] or 0.0) + (after["length_ms"] or 0.0) - onset - length_ms
    after["onset_ms"] = onset + length_ms
    after["deviation_ms"] = onset + length_ms - after["expected_ms"]
    said = f"The {steps[step]['note']} was crushed: {length_ms:.0f} ms."
    return faulty({**good, "steps": steps}, fault("crushed", step, said))


def missing(good: RepResult, step: int) -> RepResult:
    """The same rep without one step."""
    steps = [StepResult(**one) for one in good["steps"]]
    steps[step].update({"state": "missing", "onset_ms": None, "deviation_ms": None, "length_ms": None})
    said = f"The {steps[step]['note']} was missing."
    return faulty({**good, "steps": steps}, fault("missing step", step, said))


def wrong(good: RepResult, step: int, played: str) -> RepResult:
    """The same rep with another note in the place of a step."""
    steps = [StepResult(**one) for one in good["steps"]]
    steps[step].update({"state": "wrong note", "played_note": played})
    said = f"The {steps[step]['note']} came out as {played}."
    return faulty({**good, "steps": steps}, fault("wrong note", step, said))


def with_extras(good: RepResult) -> RepResult:
    """The same rep with a crossing noise before its first step, and a bounce in its theme note."""
    first, theme = good["steps"][0], good["steps"][-1]
    extras: list[ExtraResult] = [
        {"note": "low A", "onset_ms": (first["onset_ms"] or 0.0) - 12.0, "length_ms": 12.0, "extra": "crossing noise"},
        {"note": theme["note"], "onset_ms": (theme["onset_ms"] or 0.0) + 30.0, "length_ms": 4.0, "extra": "bounce"},
    ]
    return {**good, "extras": extras}


def dozen(wanted: DrillShown, click_bpm: float) -> list[RepResult]:
    """Twelve simulated reps that drift late and hold each kind of mishap once."""
    reps = [rep(wanted, click_bpm, index, late_ms=1.5 * index - 4) for index in range(12)]
    reps[3] = crushed(reps[3], 0)
    reps[5] = missing(reps[5], min(1, len(reps[5]["steps"]) - 2))
    reps[7] = wrong(reps[7], 0, "E")
    reps[9] = with_extras(reps[9])
    return reps


FEEDBACK = FeedbackShown(
    schedule="every rep",
    live=True,
    withheld=[],
    said=None,
    more="",
    ask=None,
    guesses=None,
    clean=0,
    played=0,
    in_a_row=0,
)


def practice(
    wanted: DrillShown, reps: list[RepResult], click_bpm: float = 60.0, beat0_ns: int = 0
) -> shapes.PracticeShown:
    """A run in progress with these reps."""
    row = 0
    for one in reps:
        row = row + 1 if one["clean"] else 0
    return {
        "drill": wanted["drill"],
        "asked": wanted,
        "sequence": [wanted],
        "left_out": "",
        "grid": grid(click_bpm, beat0_ns),
        "segments": segments(click_bpm),
        "standard": "usual",
        "on_beat_ms": 25.0,
        "spread": 0.06,
        "layout": "two clicks",
        "reps": reps[-12:],
        "in_a_row": row,
        "clean": sum(one["clean"] for one in reps),
        "played": len(reps),
        "ladder": None,
        "feedback": FEEDBACK,
        "doubt": "",
    }


RULE: shapes.LadderRuleShown = {
    "first_bpm": 60.0,
    "raise_bpm": 4.0,
    "in_a_row": 3,
    "top_bpm": 80.0,
    "tries": 5,
    "performing_bpm": 66.0,
}


def ladder(**now: Any) -> shapes.LadderShown:
    """A ladder on its second notch; ``now`` says what else is so."""
    told: dict[str, Any] = {
        "rule": RULE,
        "phase": "climbing",
        "click_bpm": 64.0,
        "row": 2,
        "tries_left": 4,
        "held_bpm": 60.0,
        "move": None,
        "outcome": None,
        "said": "3 in a row. Up to 64.",
        "full_row": "up to 68",
        "full_row_bpm": 68.0,
        "no_row": "down to 60",
        "no_row_bpm": 60.0,
        "whole": "",
        "rungs": [60.0, 64.0, 68.0, 72.0, 76.0, 80.0],
        **now,
    }
    return cast("shapes.LadderShown", told)


def chanter() -> shapes.ChanterShown:
    """A chanter that is there and well."""
    return {
        "input": "Kitchen chanter",
        "state": "ready",
        "said": "Kitchen chanter is plugged in.",
        "profile": "written pitch",
        "timing": "driver",
        "calibration_ms": 14.0,
        "sounding": "B",
    }


def seat(running: shapes.PracticeShown | None = None) -> shapes.SeatShown:
    """The one seat of most scenes."""
    return {
        "seat": "one",
        "name": "Player 1",
        "player": {"number": 1, "name": "Player 1"},
        "chanter": chanter(),
        "practice": running,
        "ended": None,
        "learning": None,
        "calibration": None,
        "session": None,
        "tune_run": None,
        "free": {"rows": [], "work_on": "", "drill": None, "offer": None},
        "sounds": True,
        "distance_m": 0.0,
        "placements": [],
    }


def state(seats: list[shapes.SeatShown], clock_ns: int = 0) -> shapes.StateShown:
    """The whole state with these seats."""
    return {
        "version": "0.1.0",
        "clock_ns": clock_ns,
        "seats": seats,
        "offers": [],
        "history": {"kept": True, "said": "What is played is kept in history.db."},
        "standards": [
            {"name": "usual", "said": "On the beat within 25 ms; a step is crushed under 20 ms."},
            {"name": "strict", "said": "On the beat within 15 ms; a step is crushed under 25 ms."},
        ],
        "profiles": [
            {"name": "written pitch", "said": "Low A sounds as the A it is written."},
            {"name": "low A as B flat", "said": "Sends every note a semitone higher."},
        ],
        "layouts": [
            {"name": "two clicks", "said": "The note before on one click, the ornament on the next."},
            {"name": "every click", "said": "An ornament on every click, the note before on the half."},
            {"name": "long note before", "said": "Two clicks of the note before, the ornament on the third."},
        ],
        "feedbacks": [
            {"name": "every rep", "said": "Each rep is judged as it ends."},
            {"name": "after five", "said": "Five reps are kept back, then told together."},
            {"name": "say first", "said": "You say whether it was early, on the beat or late; then it is told."},
        ],
        "standard": "usual",
        "spread": 0.06,
        "spread_range": (0.01, 0.3),
        "drill": "grip from B to C",
        "click_bpm": 60.0,
        "tempo_range": (20.0, 400.0),
        "ladder": RULE,
        "paces": [
            {
                "name": "march in 2/4, solo",
                "said": "Two beats to the bar.",
                "source": "Common practice, no source.",
                "first": 44.0,
                "low": 60.0,
                "high": 84.0,
                "performing": 66.0,
            },
        ],
    }


def status(messages: int) -> Status:
    """How a daemon is that has run for three days, with something in its log that must be escaped."""
    return Status(
        version="0.1.0",
        python="3.11.2",
        system="Linux 6.1 (x86_64)",
        since="2030-05-01T18:00:00+00:00",
        up_s=3 * 86_400 + 4 * 3600 + 59,
        memory_mb=96.5,
        processor_s=125.0,
        data="/home/piper/.local/share/chanterd",
        lateness=Lateness(median_ms=0.2, worst_ms=None),
        pages=Pages(now=1, frames=20_000, lost=3, let_go=0),
        seats=[
            SeatStatus(seat="1", input="demo", state="ready", said="It plays.", timing="arrival", messages=messages)
        ],
        log=["2030-05-01 18:00:00 INFO the first", "2030-05-01 18:00:01 INFO <b>the last</b>"],
    )
