"""A day's proposal as a plan, from its first line to its last. Pure."""

from chanterd.config import ChanterdError
from chanterd.practice.exercise import ExerciseWords, Vocabulary, resolve
from chanterd.practice.plans.part import Part
from chanterd.practice.plans.plan import BREAK_AFTER_MINUTES, BREAK_MINUTES, Plan
from chanterd.practice.proposal.proposal import Proposal

KEY, NAME = "today", "Today"
SAID = "Today's proposal, line by line."


def plan_of(proposal: Proposal, known: Vocabulary) -> Plan:
    """The plan: what goes well already comes first, to warm up; then the lines in their order.

    Raises ChanterdError if nothing is proposed.
    """
    if not proposal.lines:
        raise ChanterdError("Nothing is left for today; choose a drill yourself, or rest.")
    lines = sorted(proposal.lines, key=lambda line: line.why != "warm")
    return Plan(
        key=KEY,
        name=NAME,
        said=SAID,
        parts=tuple(
            Part(
                title=line.drill.words,
                warm_up=line.why == "warm",
                exercise=resolve(ExerciseWords(line.drill.words, line.click_bpm), known),
                minutes=line.minutes,
                reps=None,
            )
            for line in lines
        ),
        break_after_minutes=BREAK_AFTER_MINUTES,
        break_minutes=BREAK_MINUTES,
    )
