"""All sentences about a tempo ladder: at each change, about the next one, and at its end."""

from dataclasses import replace

from chanterd.judging.summary import Summary
from chanterd.music.units import Bpm
from chanterd.practice.feedback.feedback import together
from chanterd.practice.ladder.climb import Happened, LadderState, Move, Outcome, Phase, after
from chanterd.practice.ladder.rule import Rule

STOPPED = "The ladder was stopped."
CHANGED = "The rule was changed, so this ladder has ended."


def say_tempo(click_bpm: Bpm | float) -> str:
    """A tempo with no more decimals than it has."""
    return f"{click_bpm:g}"


def row_words(rule: Rule) -> str:
    """``3 in a row``, or ``1 clean rep`` where the row is no longer than that."""
    return f"{rule.in_a_row} in a row" if rule.in_a_row > 1 else "1 clean rep"


def announcement(rule: Rule, now: LadderState) -> str:
    """The announcement, to be read or heard: why the tempo changed, and to what."""
    row, bpm = row_words(rule), say_tempo(now.click_bpm)
    match now.move:
        case Move.UP:
            return f"{row}. Up to {bpm}."
        case Move.DOWN:
            hint = " An earlier stage of the build-up may help." if now.notch < 0 else ""
            return f"{_tries(rule.tries)} without {row}. Down to {bpm}.{hint}"
        case Move.TO_PERFORMING:
            return f"{row}. Now down to {bpm}, the performing tempo: prove it there."
        case Move.END:
            return _ending(rule, now)
    return f"At {bpm}: play {row} to move on."


def whole_words(found: Summary, last_bpm: Bpm | None) -> str:
    """A summary of a ladder over all its tempi; ``last_bpm`` is the tempo that the remarks after it are about."""
    if not found["played"]:
        return ""
    after_it = "" if last_bpm is None else f" The remarks are about the last tempo, {say_tempo(last_bpm)}."
    return f"The whole ladder: {together(found)}{after_it}"


def full_row_leads(rule: Rule, now: LadderState) -> tuple[str, Bpm | None]:
    """Where the full row would lead, in words, and its tempo if it goes on there; empty when it is over."""
    return _leads(rule, replace(now, row=rule.in_a_row - 1), Happened.CLEAN)


def no_row_leads(rule: Rule, now: LadderState) -> tuple[str, Bpm | None]:
    """Where it leads if the tries run out without a full row, likewise."""
    return _leads(rule, replace(now, tries_left=1), Happened.NOT_CLEAN)


def _leads(rule: Rule, now: LadderState, happened: Happened) -> tuple[str, Bpm | None]:
    if now.phase is Phase.OVER:
        return "", None
    there = after(rule, now, happened)
    bpm = say_tempo(there.click_bpm)
    match there.move:
        case Move.UP:
            return f"up to {bpm}", there.click_bpm
        case Move.DOWN:
            return f"down to {bpm}", there.click_bpm
        case Move.TO_PERFORMING:
            return f"down to {bpm}, to prove it", there.click_bpm
    if there.outcome is Outcome.HELD and there.row == rule.in_a_row:
        return "held, and the end", None
    return ("proved" if there.outcome is Outcome.PROVED else "the end for today"), None


def _tries(count: int) -> str:
    return f"{count} tries" if count > 1 else "1 try"


def _held(rule: Rule, now: LadderState) -> str:
    """What was held, on the way up and at the end, in a sentence; something was."""
    row, held = row_words(rule), say_tempo(now.held_bpm or now.click_bpm)
    if now.row < rule.in_a_row:
        return f"You held {held} on the way up, and no tempo after it."
    if now.held_bpm != now.click_bpm:
        return f"You held {held} on the way up, and {say_tempo(now.click_bpm)} at the end."
    return f"You held {held}{', the top' if now.held_bpm == rule.top_bpm else ' today'}: {row}."


def _ending(rule: Rule, now: LadderState) -> str:
    row = row_words(rule)
    if now.held_bpm is None:
        return f"You didn't manage {row} at any tempo. Take a rest, then try an earlier stage of the build-up."
    held = say_tempo(now.held_bpm)
    if rule.performing_bpm is None:
        return f"{_held(rule, now)} Take a rest."
    performing = say_tempo(rule.performing_bpm)
    match now.outcome:
        case Outcome.PROVED:
            return f"Proved: {row} at {performing}, the performing tempo."
        case Outcome.NOT_YET:
            when = "today" if now.held_bpm < rule.performing_bpm else "on the way up and lost it again"
            return f"You held {held} {when}; {performing}, the performing tempo, is still to come. Take a rest."
    return f"You held {held}, but didn't manage {row} at {performing}. Take a rest, then prove it again."
