"""The lines of a proposal: which stage, at which tempo, for how long, and why. Pure.

Conventions: tempi are clicks a minute, whole ones; stages count from 1.
"""

from dataclasses import dataclass
from datetime import date
from typing import Literal, get_args

from chanterd.music.drill import Drill, make_drill
from chanterd.music.grid import SLOWEST_BPM
from chanterd.practice.proposal.known import (
    Known,
    held_bpm,
    last_day,
    last_staged,
    recent,
    rest_days,
    spread_ms,
    tried_bpm,
)
from chanterd.practice.proposal.rule import ProposalRule
from chanterd.practice.proposal.words import clicks, day_said, on_day, stage_of, times

Why = Literal["weak", "due", "warm", "begun", "new"]
WHY = get_args(Why)
"""In the order in which they are shown."""


@dataclass(frozen=True, slots=True)
class ProposalLine:
    """One line of a proposal."""

    why: Why
    drill: Drill
    """What to start: the full ornament, or a stage of its build-up."""
    click_bpm: float
    aim_bpm: float
    """The tempo it is to be played at in the end."""
    minutes: float
    reason: str


def roughness(known: Known, rule: ProposalRule) -> tuple[float, float, str]:
    """What weak ones are sorted by: the share of clean reps, then the spread, the largest first."""
    staged, lately = last_staged(known), recent(known, rule.fewest_reps)
    share = lately.share if lately else staged.clean / staged.played if staged and staged.played else 0.0
    return share, -spread_ms(known), known.drill.words


def weak_line(known: Known, today: date, rule: ProposalRule) -> ProposalLine:
    """Built up again stage by stage, or taken down to a tempo at which it can be clean."""
    lately, staged = recent(known, rule.fewest_reps), last_staged(known)
    if staged is not None:
        return _staged_line(known, staged.stage or 1, staged.clean, staged.played, today, rule)
    assert lately is not None  # noqa: S101 - what has neither was hardly played, and is begun
    when = on_day(lately.first, lately.last, today)
    where = " in tunes" if known.sittings[-1].in_tunes else ""
    how = f"The {known.drill.words} was clean {times(lately.clean, lately.played)}{where} {when}"
    stages = known.drill.stages
    if lately.share < rule.build_below and stages > 1:
        stage = min(1 + int(lately.share / rule.build_below * (stages - 1)), stages - 1)
        tempo = _whole(min(rule.start_bpm, tried_bpm(known)))
        return _line("weak", known, stage, tempo, rule, f"{how}: build it up from stage {stage} at {clicks(tempo)}.")
    tempo = _down(known, rule)
    return _line("weak", known, None, tempo, rule, f"{how}: take it at {clicks(tempo)} and get it even again.")


def _staged_line(known: Known, stage: int, clean: int, played: int, today: date, rule: ProposalRule) -> ProposalLine:
    """On to the next stage if this one went well, or the same again."""
    name = stage_of(known.drill, stage)
    when = day_said(last_day(known), today)
    how = f"{name[0].upper()}{name[1:]} was clean {times(clean, played)} {when}"
    tempo = _whole(min(rule.start_bpm, tried_bpm(known)))
    if clean < rule.steady_from * played or played < rule.fewest_reps:
        return _line("weak", known, stage, tempo, rule, f"{how}: the same again at {clicks(tempo)}.")
    following = stage + 1 if stage + 1 < known.drill.stages else None
    then = "the whole" if following is None else f"stage {following}"
    return _line("weak", known, following, tempo, rule, f"{how}: on to {then} at {clicks(tempo)}.")


def due_line(known: Known, today: date, rule: ProposalRule) -> ProposalLine:
    """Begun a notch below where it was held."""
    held, tempo, aim = held_bpm(known), _down(known, rule), _aim(known, rule)
    days = rest_days(known, rule)
    rest = "a night's rest" if days == 1 else f"{days} days of rest"
    how = "" if held is None else f"clean at {clicks(held)}, "
    when = day_said(last_day(known), today)
    what = f"Begin at {clicks(tempo)} and climb towards {clicks(aim)}" if tempo < aim else f"Play it at {clicks(tempo)}"
    said = f"The {known.drill.words} is due again after {rest}: {how}last played {when}. {what}."
    return _line("due", known, None, tempo, rule, said)


def warm_line(known: Known, today: date, rule: ProposalRule) -> ProposalLine:
    """An old one, at the tempo it is to be played at if it was held there."""
    held = held_bpm(known)
    tempo = _whole(min(held, _aim(known, rule))) if held else _down(known, rule)
    when = day_said(last_day(known), today)
    said = f"The {known.drill.words} goes well and was last played {when}: keep it warm at {clicks(tempo)}."
    return _line("warm", known, None, tempo, rule, said)


def begun_line(known: Known, rule: ProposalRule) -> ProposalLine:
    """One that was tried and not carried on."""
    played = sum(one.played for one in known.sittings if one.stage is None) or known.sittings[-1].played
    stage = last_staged(known)
    tempo = _whole(min(rule.start_bpm, tried_bpm(known)))
    often = "once" if played == 1 else f"{played} times"
    how = f"was tried only {often}"
    if all(one.in_tunes for one in known.sittings):
        how = f"was played only {often}, in tunes"
    said = f"The {known.drill.words} {how}: give it a proper start at {clicks(tempo)}."
    return _line("begun", known, stage.stage if stage else None, tempo, rule, said)


def new_line(drill: Drill, rule: ProposalRule) -> ProposalLine:
    """One that was never played, from its first stage."""
    stage = 1 if drill.stages > 1 else None
    tempo = _whole(rule.start_bpm)
    how = f"stage 1 of {drill.stages} first, slow and even" if stage else "slow and even"
    said = f"The {drill.words} is new to you and comes next: {how}, at {clicks(tempo)}."
    return _line("new", Known(drill, ()), stage, tempo, rule, said)


def _line(why: Why, known: Known, stage: int | None, tempo: float, rule: ProposalRule, reason: str) -> ProposalLine:
    drill = known.drill
    minutes = {"weak": rule.weak_minutes, "due": rule.due_minutes, "warm": rule.warm_minutes}.get(why, rule.new_minutes)
    staged = drill if stage is None else make_drill(drill.ornament, drill.lead, drill.theme, stage)
    return ProposalLine(why, staged, tempo, _aim(known, rule), minutes, reason)


def _aim(known: Known, rule: ProposalRule) -> float:
    return _whole(known.aim_bpm or rule.aim_bpm)


def _down(known: Known, rule: ProposalRule) -> float:
    """A notch below the tempo that was held last; where none ever was, no faster than the start."""
    held = held_bpm(known)
    return _whole(min(rule.start_bpm, tried_bpm(known)) if held is None else held - rule.notch_bpm)


def _whole(tempo: float) -> float:
    return max(float(round(tempo)), SLOWEST_BPM)
