"""Makes the pages' shapes from runs, ladders and plans: drills in time, the click, and so on. Pure."""

from collections.abc import Iterable

from chanterd.hearing.learn import Learned
from chanterd.music.grid import TempoGrid
from chanterd.music.score import Score
from chanterd.practice.feedback.feedback import FeedbackShown
from chanterd.practice.ladder.climb import LadderState
from chanterd.practice.ladder.rule import Rule
from chanterd.practice.ladder.words import announcement, full_row_leads, no_row_leads
from chanterd.practice.plans.plan import BrokenPlan, Plan
from chanterd.practice.plans.words import name_of
from chanterd.practice.run import COUNT_IN_CLICKS, Run
from chanterd.serving.wire import shapes
from chanterd.serving.wire.drill import DrillShown, drill_view
from chanterd.serving.wire.grid import GridShown
from chanterd.serving.wire.segments import segment_view


def sequence_view(score: Score) -> list[DrillShown]:
    """The drills of the reps in turn."""
    segments = score.segments
    return [drill_view(one, segments[turn - 1].drill.theme) for turn, one in enumerate(segments)]


def grid_view(grid: TempoGrid, clicks_per_rep: int, ornament_beat: int, *, click_off: bool = False) -> GridShown:
    """The click; ``ornament_beat`` is the ornament's own beat of the first rep."""
    return GridShown(
        beat0_ns=grid.beat0_ns,
        click_bpm=grid.click_bpm,
        count_in=COUNT_IN_CLICKS,
        clicks_per_rep=clicks_per_rep,
        ornament_beat=ornament_beat,
        click_off=click_off,
    )


def practice_view(
    run: Run,
    feedback: FeedbackShown,
    doubt: str = "",
    ladder: shapes.LadderShown | None = None,
    turns: Iterable[int] = (0, 1),
) -> shapes.PracticeShown:
    """A run in progress; ``turns`` are the one that goes on and the next."""
    exercise, layout = run.exercise, run.exercise.layout
    sequence = sequence_view(run.score)
    return shapes.PracticeShown(
        drill=exercise.drill.words,
        asked=sequence[0],
        sequence=sequence,
        left_out=run.score.left_out,
        grid=grid_view(run.grid, layout.clicks, round(layout.first_beat), click_off=exercise.click_off),
        segments=[segment_view(run.score, run.grid, turn) for turn in turns],
        standard=exercise.standard.name,
        on_beat_ms=exercise.standard.on_beat_ms(run.grid.click_bpm),
        spread=exercise.spread.held_of_click,
        layout=layout.name,
        reps=list(run.last),
        in_a_row=run.tally.in_a_row,
        clean=run.tally.clean,
        played=run.tally.played,
        ladder=ladder,
        feedback=feedback,
        doubt=doubt,
    )


def rule_view(rule: Rule) -> shapes.LadderRuleShown:
    """The rule of a ladder."""
    return shapes.LadderRuleShown(
        first_bpm=rule.first_bpm,
        raise_bpm=rule.raise_bpm,
        in_a_row=rule.in_a_row,
        top_bpm=rule.top_bpm,
        tries=rule.tries,
        performing_bpm=rule.performing_bpm,
    )


def ladder_view(rule: Rule, now: LadderState, said: str | None = None, whole: str = "") -> shapes.LadderShown:
    """A ladder; ``said`` replaces its own announcement, ``whole`` sums it up once it is over."""
    full_row, full_row_bpm = full_row_leads(rule, now)
    no_row, no_row_bpm = no_row_leads(rule, now)
    return shapes.LadderShown(
        rule=rule_view(rule),
        phase=now.phase.value,
        click_bpm=now.click_bpm,
        row=now.row,
        tries_left=now.tries_left,
        held_bpm=now.held_bpm,
        move=None if now.move is None else now.move.value,
        outcome=None if now.outcome is None else now.outcome.value,
        said=announcement(rule, now) if said is None else said,
        full_row=full_row,
        full_row_bpm=full_row_bpm,
        no_row=no_row,
        no_row_bpm=no_row_bpm,
        whole=whole,
        rungs=[rule.tempo(notch) for notch in range(min(now.notch, 0), rule.top_notch + 1)],
    )


def plan_view(plan: Plan | BrokenPlan) -> shapes.PlanShown:
    """A plan as pages list it; of one that cannot be used, why."""
    if isinstance(plan, BrokenPlan):
        key, own, name = plan.key, plan.own, plan.name
        said, fits = plan.said, plan.fits_form
        return shapes.PlanShown(key=key, own=own, name=name, said="", parts=[], trouble=said, can_change=fits)
    return shapes.PlanShown(
        key=plan.key,
        own=plan.own,
        name=plan.name,
        said=plan.said,
        parts=[
            shapes.PlanPartShown(
                name=name_of(part),
                drill=part.exercise.words,
                tune=part.tune,
                counted=part.counted,
                how_long=part.how_long,
                warm_up=part.warm_up,
                click_bpm=part.exercise.click_bpm,
            )
            for part in plan.parts
        ],
        trouble="",
        can_change=True,
    )


def learning_view(learned: Learned) -> shapes.LearningShown:
    """How much of the scale has been learned."""
    wanted = learned.next_note
    return shapes.LearningShown(
        state=learned.state,
        next_note=None if wanted is None else wanted.words,
        heard=learned.heard,
        said=learned.said,
    )
