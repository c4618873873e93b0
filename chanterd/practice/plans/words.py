"""All sentences that a player reads on the way through a plan."""

from chanterd.music.units import NS_PER_MINUTE
from chanterd.practice.plans.part import Part
from chanterd.practice.plans.plan import Plan
from chanterd.practice.plans.session import Session, SessionState, break_overdue


def name_of(part: Part) -> str:
    """What a part is called: its title, or what is played in it."""
    return part.title or part.exercise.words


def part_words(part: Part) -> str:
    """A part on one line: ``Warm-up: grip from B to C, 3 minutes at 60``; a tempo ladder says its own tempi."""
    title = f"{part.title.rstrip('.:')}: " if part.title else ""
    at = "" if part.exercise.ladder else f" at {part.exercise.click_bpm:g}"
    return f"{title}{part.exercise.words}, {part.how_long}{at}"


def session_said(plan: Plan, now: Session) -> str:
    """How far the session is, in a sentence."""
    part, number = plan.parts[now.part], f"{now.part + 1} of {len(plan.parts)}"
    if now.paused:
        return f"Paused in part {number}. Go on when you are ready."
    match now.state:
        case SessionState.BETWEEN:
            return f"{'Next' if now.part else 'First'}, {number}. {part_words(part)}."
        case SessionState.PLAYING:
            return f"Now, {number}. {part_words(part)}."
        case SessionState.BREAK:
            return f"A break of {plan.break_minutes:g} minutes: rest your hands and your ears."
        case SessionState.DONE:
            return f"'{plan.name}' is done. Rest your hands and your ears."
    return f"'{plan.name}' was stopped."


def outcome(part: Part, clean: int, played: int) -> str:
    """The result of a part that is over, unless its ladder has its own."""
    return f"{name_of(part)}: {clean} of {played} {part.counted} clean." if played else ""


def reminder(plan: Plan, now: Session) -> str:
    """A reminder that a break is overdue in a long part; otherwise empty."""
    if not break_overdue(plan, now):
        return ""
    minutes = now.since_break_ns // NS_PER_MINUTE
    return f"You have played for {minutes} minutes: pause and rest your hands and ears."
