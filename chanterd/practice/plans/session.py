"""A session: going through a plan, part by part, with breaks. Pure: time that passes and what happened are arguments.

A break comes between two parts, once enough has been played since the last one; it is a reminder and can be skipped,
but hands that had none are reminded again after the next part. A pause as long as a break counts as one.
"""

from dataclasses import dataclass, replace
from enum import StrEnum

from chanterd.music.units import NS_PER_MINUTE, NS_PER_MS, Ns
from chanterd.practice.plans.part import Part
from chanterd.practice.plans.plan import Plan

READY_NS = Ns(6000 * NS_PER_MS)
"""From the announcement of a part to its start: time to read it and find the first note."""
OVERDUE_NS = Ns(5 * NS_PER_MINUTE)
"""How much longer one long part may go on when a break is due, before the player is reminded in the midst of it."""


class SessionState(StrEnum):
    """What a session is at."""

    BETWEEN = "between"
    """The next part has been announced."""
    PLAYING = "playing"
    BREAK = "break"
    DONE = "done"
    STOPPED = "stopped"


OVER = (SessionState.DONE, SessionState.STOPPED)


@dataclass(frozen=True, slots=True)
class Session:
    """How far a session is."""

    state: SessionState
    part: int
    """The present part, or the one that comes next; from 0."""
    paused: bool
    spent_ns: Ns
    """In the present part, break or announcement; pauses are not counted."""
    reps: int
    """Played in the present part."""
    since_break_ns: Ns
    """Played since the last break."""
    paused_ns: Ns
    """How long the present pause has been."""


def begin(plan: Plan) -> Session:
    """The first part is announced; a plan has at least one."""
    del plan
    return Session(SessionState.BETWEEN, 0, paused=False, spent_ns=Ns(0), reps=0, since_break_ns=Ns(0), paused_ns=Ns(0))


def pass_time(plan: Plan, now: Session, elapsed_ns: Ns) -> Session:
    """Let that much time pass."""
    if now.state in OVER:
        return now
    if now.paused:
        return _pause_on(plan, now, elapsed_ns)
    now = replace(now, spent_ns=Ns(now.spent_ns + elapsed_ns))
    if now.state is SessionState.BETWEEN:
        return _enter(now, SessionState.PLAYING) if now.spent_ns >= READY_NS else now
    if now.state is SessionState.BREAK:
        over = now.spent_ns >= break_ns(plan)
        return replace(_enter(now, SessionState.BETWEEN), since_break_ns=Ns(0)) if over else now
    now = replace(now, since_break_ns=Ns(now.since_break_ns + elapsed_ns))
    left = left_ns(plan, now)
    return _next(plan, now) if left is not None and left <= 0 else now


def count_reps(plan: Plan, now: Session, played: int) -> Session:
    """Take how many reps of the present part have been played."""
    if now.state is not SessionState.PLAYING or now.paused:
        return now
    wanted = plan.parts[now.part].reps
    now = replace(now, reps=played)
    return _next(plan, now) if wanted is not None and played >= wanted else now


def end_ladder(plan: Plan, now: Session) -> Session:
    """Take it that the ladder of the present part is over."""
    playing = now.state is SessionState.PLAYING and not now.paused
    return _next(plan, now) if playing and plan.parts[now.part].exercise.climbs else now


def pause(now: Session) -> Session:
    """Pause until ``go_on``."""
    return now if now.state in OVER else replace(now, paused=True)


def go_on(now: Session) -> Session:
    """On where it was paused."""
    return replace(now, paused=False, paused_ns=Ns(0))


def skip(plan: Plan, now: Session) -> Session:
    """Leave out what is left of the present part, of the break, or all of the part that was announced."""
    if now.state in OVER:
        return now
    now = go_on(now)
    return _enter(now, SessionState.BETWEEN) if now.state is SessionState.BREAK else _next(plan, now)


def stop(now: Session) -> Session:
    """It is over."""
    return now if now.state in OVER else replace(go_on(now), state=SessionState.STOPPED)


def break_ns(plan: Plan) -> Ns:
    """How long a break is."""
    return Ns(round(plan.break_minutes * NS_PER_MINUTE))


def break_due(plan: Plan, now: Session) -> bool:
    """Whether a break comes before the next part."""
    return now.since_break_ns >= plan.break_after_minutes * NS_PER_MINUTE


def break_overdue(plan: Plan, now: Session) -> bool:
    """Whether one long part has gone on so long that the player is to be reminded in the midst of it."""
    return (
        now.state is SessionState.PLAYING
        and now.since_break_ns >= plan.break_after_minutes * NS_PER_MINUTE + OVERDUE_NS
    )


def left_ns(plan: Plan, now: Session) -> Ns | None:
    """How long the present state lasts yet; None if that does not depend on time."""
    match now.state:
        case SessionState.BETWEEN:
            return Ns(READY_NS - now.spent_ns)
        case SessionState.BREAK:
            return Ns(break_ns(plan) - now.spent_ns)
        case SessionState.PLAYING:
            minutes = plan.parts[now.part].minutes
            return None if minutes is None else Ns(round(minutes * NS_PER_MINUTE) - now.spent_ns)
    return None


def following(plan: Plan, now: Session) -> Part | None:
    """The part after the present one."""
    return plan.parts[now.part + 1] if now.part + 1 < len(plan.parts) else None


def _enter(now: Session, state: SessionState) -> Session:
    return replace(now, state=state, spent_ns=Ns(0), reps=0)


def _next(plan: Plan, now: Session) -> Session:
    if following(plan, now) is None:
        return replace(now, state=SessionState.DONE)
    return replace(_enter(now, SessionState.BREAK if break_due(plan, now) else SessionState.BETWEEN), part=now.part + 1)


def _pause_on(plan: Plan, now: Session, elapsed_ns: Ns) -> Session:
    paused_ns = Ns(now.paused_ns + elapsed_ns)
    rested = paused_ns >= break_ns(plan)
    return replace(now, paused_ns=paused_ns, since_break_ns=Ns(0) if rested else now.since_break_ns)
