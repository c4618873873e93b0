"""A ladder through a tune as a page shows it, by its tempi or by its passages."""

from chanterd.practice.ladder import widening, words
from chanterd.practice.ladder.climb import LadderState
from chanterd.practice.ladder.rule import Rule
from chanterd.practice.ladder.widening import Widening
from chanterd.practice.run import Tally
from chanterd.serving.wire.playing import RungShown, TuneLadderShown


def tune_ladder_view(rule: Rule | Widening, now: LadderState, said: str, over: Tally | None = None) -> TuneLadderShown:
    """A ladder; ``said`` replaces its own announcement unless it is empty, ``over`` are its rounds once it is over."""
    leads = _leads(rule, now)
    whole = f"The whole ladder: {over.clean} of {over.played} rounds clean." if over is not None and over.played else ""
    return TuneLadderShown(
        climbs="width" if isinstance(rule, Widening) else "tempo",
        phase=now.phase.value,
        in_a_row=rule.in_a_row,
        row=now.row,
        tries_left=now.tries_left,
        said=said or tune_news(rule, now),
        full_row="" if over is not None else leads[0],
        no_row="" if over is not None else leads[1],
        whole=whole,
        rungs=_rungs(rule, now),
    )


def tune_news(rule: Rule | Widening, now: LadderState) -> str:
    """Why the ladder has moved, and to where; or what leads on from where it is."""
    if isinstance(rule, Widening):
        return widening.announcement(rule, now)
    return words.announcement(rule, now)


def _leads(rule: Rule | Widening, now: LadderState) -> tuple[str, str]:
    if isinstance(rule, Widening):
        return widening.full_row_leads(rule, now), widening.no_row_leads(rule, now)
    return words.full_row_leads(rule, now)[0], words.no_row_leads(rule, now)[0]


def _rungs(rule: Rule | Widening, now: LadderState) -> list[RungShown]:
    if isinstance(rule, Widening):
        names = [one.words for one in rule.passages]
        here, held = rule.first + now.notch, None if now.held_notch is None else rule.first + now.held_notch
        return [
            RungShown(words=name, here=index == here, held=held is not None and index <= held)
            for index, name in enumerate(names)
        ]
    lowest = min(now.notch, 0)
    tempi = {rule.tempo(notch) for notch in range(lowest, rule.top_notch + 1)}
    if rule.performing_bpm is not None:
        tempi.add(rule.performing_bpm)
    return [
        RungShown(
            words=words.say_tempo(bpm), here=bpm == now.click_bpm, held=now.held_bpm is not None and bpm <= now.held_bpm
        )
        for bpm in sorted(tempi)
    ]
