"""What to do about a fault: a sentence for the player and a drill that helps. The table is ``configs/advice.toml``."""

from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Annotated, Literal, NotRequired, cast

from typing_extensions import TypedDict

from chanterd.config import ChanterdError, bundled, quoted
from chanterd.judging.fault import ORDER, Fault
from chanterd.music.drill import Drill, drill_from_words, make_drill
from chanterd.table_file import read_one
from chanterd.values import Read, Sentence, table

Help = Literal["stage", "beat", "change", "same"]


@dataclass(frozen=True, slots=True)
class Remedy:
    """One row of the table."""

    do: str
    whole: str
    """The same where the fault is about the ornament as a whole."""
    drill: Help


@dataclass(frozen=True, slots=True)
class Advice:
    """What to do about one fault."""

    said: str
    drill: str | None
    """In words; None: the same drill, slower."""


def _advice(text: str) -> str:
    """The advice, in which only what is known of a rep is filled in."""
    try:
        text.format(step="", lead="", theme="", ornament="", spelled="")
    except (KeyError, IndexError, ValueError, AttributeError) as error:
        known = "{step}, {lead}, {theme}, {ornament} and {spelled}"
        said = f"The advice is {quoted(text)}; only {known} may be in braces."
        raise ChanterdError(said) from error
    return text


@table
class RemedyTable(TypedDict):
    """A table of the file, which is named after its fault."""

    do: Annotated[Sentence, Read(_advice)]
    whole: NotRequired[Annotated[Sentence, Read(_advice)]]
    drill: Help


AdviceTable = TypedDict("AdviceTable", dict.fromkeys(ORDER, RemedyTable))  # type: ignore[misc]  # one for each fault
table(AdviceTable)


def read_remedies(path: Path) -> dict[str, Remedy]:
    """The table, by fault. Raises ConfigError with everything that is wrong with it."""
    tables = cast("dict[str, RemedyTable]", read_one(path, AdviceTable))
    return {fault: Remedy(row["do"], row.get("whole", row["do"]), row["drill"]) for fault, row in tables.items()}


@cache
def standard_remedies() -> dict[str, Remedy]:
    """The table that ships with the program."""
    return read_remedies(bundled("configs") / "advice.toml")


def advise(fault: Fault, drill: Drill) -> Advice:
    """What to do about a fault in a rep of that drill."""
    remedy = standard_remedies()[fault.fault]
    step = drill.theme.words if fault.step is None else drill.lead.words
    if fault.step is not None and fault.step >= 0:
        step = drill.step_name(fault.step)
    said = (remedy.whole if fault.step is None else remedy.do).format(
        step=step,
        lead=drill.lead.words,
        theme=drill.theme.words,
        ornament=drill.ornament.name,
        spelled=drill.spelled,
    )
    return Advice(said, _helping(remedy.drill, fault, drill))


def _helping(kind: Help, fault: Fault, drill: Drill) -> str | None:
    if kind == "change":
        crossing = fault.crossing
        return None if crossing is None else _change(crossing.before.words, crossing.after.words)
    at = drill.stage or drill.stages
    if kind == "beat" and at > 1:
        return make_drill(drill.ornament, drill.lead, drill.theme, 1).words
    if kind == "stage" and at > 1:
        return _stage_with(fault.step, drill, at)
    return None


def _change(before: str, after: str) -> str | None:
    """The drill for a change of two plain notes; None if this book has no such drill."""
    try:
        return drill_from_words(f"change from {before} to {after}").words
    except ChanterdError:
        return None


def _stage_with(step: int | None, drill: Drill, at: int) -> str | None:
    """The first stage before the one played in which a step of that note and kind comes in; None: there is none."""
    asked = None if step is None else drill.steps[step]
    for number in range(1, at):
        stage = make_drill(drill.ornament, drill.lead, drill.theme, number)
        if asked is not None and any((one.note, one.kind) == (asked.note, asked.kind) for one in stage.steps[:-1]):
            return stage.words
    return None
