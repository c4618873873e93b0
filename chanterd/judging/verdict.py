"""The verdict on one rep: its faults in the trade's words, the most important first, and the sentence for the player.

Importance: what was not played at all comes before what was played badly, and the beat before the shape around it
(a missing step is worse than a slow one: common practice, no source).
"""

from dataclasses import dataclass

from chanterd.following.reading import ExtraKind, State
from chanterd.judging.measure import RepMeasured, StepMeasured
from chanterd.judging.standard import Standard
from chanterd.trade.drill import Drill
from chanterd.trade.note import Note
from chanterd.trade.ordinal import ordinal
from chanterd.trade.ornament import Kind
from chanterd.trade.units import NS_PER_MS, Ns

ORDER = ("missing step", "wrong note", "early", "late", "crushed", "extra note", "crossing noise")


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing that was wrong with a rep."""

    fault: str
    step: int | None
    """The step it is about, from 0; None when it is about none of them."""
    said: str


@dataclass(frozen=True, slots=True)
class Verdict:
    """What is said of one rep."""

    clean: bool
    faults: tuple[Fault, ...]


def step_name(drill: Drill, step: int) -> str:
    """What a teacher calls the step: ``second low G``, ``D gracenote``, ``first low G tap``, ``short C``, ``C``."""
    asked = drill.steps[step]
    if asked.kind is Kind.THEME:
        return asked.note.words
    alike = [
        index for index, other in enumerate(drill.steps[:-1]) if (other.note, other.kind) == (asked.note, asked.kind)
    ]
    name = asked.note.words
    if asked.kind is Kind.QUICK:
        name += " gracenote" if asked.note > drill.steps[step + 1].note else " tap"
    elif asked.note == drill.theme:
        name = f"short {name}"
    return f"{ordinal(alike.index(step))} {name}" if len(alike) > 1 else name


def a_note(note: Note) -> str:
    """The note with its article, as it is said aloud: ``a low G``, ``an E``."""
    return f"{'an' if note in (Note.E, Note.F) else 'a'} {note.words}"


def upper_first(words: str) -> str:
    """The words as the start of a sentence; unlike ``str.capitalize`` it leaves the names of notes alone."""
    return words[:1].upper() + words[1:]


def say_ms(length_ns: Ns | float) -> str:
    """Whole milliseconds: nothing finer can be heard."""
    return f"{round(abs(length_ns) / NS_PER_MS)} ms"


def _not_played(drill: Drill, steps: tuple[StepMeasured, ...]) -> list[Fault]:
    faults = []
    for step in steps:
        if step.state in (State.PLAYED, State.MERGED):
            continue
        name = step_name(drill, step.step)
        if step.state is State.MISSING:
            faults.append(Fault("missing step", step.step, f"The {name} was missing."))
        elif step.played_note is not None:
            faults.append(Fault("wrong note", step.step, f"The {name} came out as {a_note(step.played_note)}."))
    return faults


def _placement(drill: Drill, rep: RepMeasured, standard: Standard, click_ns: float) -> list[Fault]:
    off = rep.anchor.deviation_ns
    if off is None or abs(off) <= standard.beat_within_ns(click_ns):
        return []
    word = "late" if off > 0 else "early"
    return [Fault(word, rep.anchor_step, f"The {step_name(drill, rep.anchor_step)} was {say_ms(off)} {word}.")]


def _crushed(drill: Drill, steps: tuple[StepMeasured, ...], standard: Standard) -> list[Fault]:
    return [
        Fault("crushed", step.step, f"The {step_name(drill, step.step)} was crushed: {say_ms(step.length_ns)}.")
        for step in steps[:-1]
        if step.kind is not None
        and step.length_ns is not None
        and step.length_ns < standard.crushed_under_ns(step.kind)
    ]


def _extras(rep: RepMeasured, standard: Standard) -> list[Fault]:
    faults = []
    for extra in rep.extras:
        if extra.kind is ExtraKind.EXTRA_NOTE:
            length = "" if extra.length_ns is None else f" for {say_ms(extra.length_ns)}"
            faults.append(
                Fault("extra note", None, f"{upper_first(a_note(extra.note))} sounded{length} that was not asked for.")
            )
        elif extra.kind is ExtraKind.CROSSING_NOISE and (extra.length_ns or 0) > standard.crossing_over_ms * NS_PER_MS:
            said = f"The fingers crossed: {a_note(extra.note)} sounded for {say_ms(extra.length_ns or 0)}."
            faults.append(Fault("crossing noise", None, said))
    return faults


def judge_rep(rep: RepMeasured, drill: Drill, standard: Standard, click_ns: float) -> Verdict:
    """The faults of a rep by a standard, the most important first; a rep that was skipped has none and is not clean."""
    if rep.skipped:
        return Verdict(clean=False, faults=())
    faults = [
        *_not_played(drill, rep.steps),
        *_placement(drill, rep, standard, click_ns),
        *_crushed(drill, rep.steps, standard),
        *_extras(rep, standard),
    ]
    faults.sort(key=lambda fault: ORDER.index(fault.fault))
    return Verdict(clean=not faults, faults=tuple(faults))
