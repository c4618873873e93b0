"""What was recognised, in the shape that programs read; the plain words stay for people. Times in ms."""

from collections.abc import Callable
from typing import Literal, NotRequired

from pydantic import with_config
from typing_extensions import TypedDict

from chanterd.following.reading import Sound
from chanterd.judging.report import KINDS, STATES, STRICT, StateName
from chanterd.judging.standard import Standard
from chanterd.listening.followed import Followed
from chanterd.listening.found import Found
from chanterd.listening.judged import judge_found
from chanterd.listening.passages import Passage
from chanterd.listening.tally import SummaryRow
from chanterd.listening.ways import Way
from chanterd.music.ornament import Kind
from chanterd.music.units import Ns, ms

MOST_OTHERS = 3


@with_config(STRICT)
class HeardStep(TypedDict):
    """One step of an ornament, or the melody note it leads to."""

    note: str
    kind: Literal["quick", "held", "theme"]
    state: StateName
    played_note: str | None
    """What was played in its place; None unless the state is ``wrong note``."""
    onset_ms: float | None
    length_ms: float | None


@with_config(STRICT)
class HeardFault(TypedDict):
    """One thing that was wrong with its shape."""

    fault: str
    step: int | None
    """Which of the ``steps`` it is about, from 0; None: none of them."""
    said: str


HeardOrnament = TypedDict(
    "HeardOrnament",
    {
        "start_ms": float,
        "theme_ms": float,
        "ornament": str | None,
        "drill": str | None,
        "or": list[str],
        "clean": bool,
        "faults": list[HeardFault],
        "said": str,
        "steps": list[HeardStep],
        "off_beat_ms": NotRequired[float | None],
    },
)
"""An ornament as it was heard. ``ornament`` is None for short notes that are none of the book, ``drill`` where the book
has none from the note before; ``or`` holds other drills that are as likely; ``said`` is the sentence for the player;
``off_beat_ms``, in a recording, is how far from the player's own beat it was (+ = late), None where no
beat is certain."""
with_config(STRICT)(HeardOrnament)


@with_config(STRICT)
class PassagePlacement(TypedDict):
    """Whether early and late were judged in a passage, and how it went."""

    judged: bool
    """Only where a beat is certain."""
    off_ms: float | None
    """How far from the player's own beat as a rule; + is late."""
    late: int
    early: int
    """Reps that were late, and early."""
    reps: int
    """Reps that were judged."""
    said: str


PassageRow = TypedDict(
    "PassageRow",
    {
        "start_ms": float,
        "end_ms": float,
        "kind": Literal["drill", "tune", "free", "silence"],
        "drill": str | None,
        "click_bpm": float | None,
        "tune": str | None,
        "from": int | None,
        "placement": PassagePlacement,
    },
)
"""A stretch of a take: ``drill`` and ``click_bpm`` for a drill, ``tune`` and the note it begins ``from`` for a tune;
``placement`` says what can be said of early and late."""
with_config(STRICT)(PassageRow)


@with_config(STRICT)
class Listened(TypedDict):
    """What ``chanterd listen --json`` prints."""

    ornaments: list[HeardOrnament]
    passages: list[PassageRow]
    summary: list[SummaryRow]


def heard_ornament(
    found: Found, standard: Standard, at_ms: Callable[[Ns], float] = ms, followed: Followed | None = None
) -> HeardOrnament:
    """One ornament as it is shown; ``at_ms`` is how times are counted, from 0 of the clock unless it is given.

    ``followed`` is the same one as it was judged in its drill or its tune, where a beat is certain.
    """
    judged = judge_found(found, standard)
    if judged is None:
        return _unknown(found, at_ms)
    verdict, way, measured = judged.verdict, judged.way, judged.rep
    last = len(way.drill.steps) - 1
    theme = way.steps[-1]
    shown = [step for step in measured.steps if step.step in way.steps]
    places: dict[int | None, int] = {step.step: place for place, step in enumerate(shown)}
    faults = [(one.fault, one.step, one.said) for one in verdict.faults]
    if followed is not None:
        faults = [(one["fault"], one["step"], one["said"]) for one in followed.faults]
    shown_as: HeardOrnament = {
        "start_ms": at_ms(judged.start_ns),
        "theme_ms": at_ms(judged.theme_ns),
        "ornament": way.ornament.name,
        "drill": way.words,
        "or": [words_of(other) for other in found.others[:MOST_OTHERS]],
        "clean": verdict.clean if followed is None else followed.clean,
        "faults": [{"fault": fault, "step": places.get(step), "said": said} for fault, step, said in faults],
        "said": faults[0][2] if faults else "Clean.",
        "steps": [
            {
                "note": step.note.words,
                "kind": "theme" if step.step in (theme, last) else _kind(step.kind),
                "state": STATES[step.state],
                "played_note": None if step.played_note is None else step.played_note.words,
                "onset_ms": None if step.onset_ns is None else at_ms(step.onset_ns),
                "length_ms": None if step.length_ns is None else ms(step.length_ns),
            }
            for step in shown
        ],
    }
    if followed is not None:
        shown_as["off_beat_ms"] = followed.off_beat_ms
    return shown_as


def _kind(kind: Kind | None) -> Literal["quick", "held", "theme"]:
    return "theme" if kind is None else KINDS[kind]


def words_of(way: Way) -> str:
    """A way in words; its ornament's name alone where the book has no drill."""
    return way.words or way.ornament.name


def _unknown(found: Found, at_ms: Callable[[Ns], float]) -> HeardOrnament:
    """Short notes that are no ornament of the book, by their notes."""
    *steps, theme = found.sounds

    def row(sound: Sound, kind: Literal["quick", "theme"]) -> HeardStep:
        return {
            "note": sound.note.words,
            "kind": kind,
            "state": "played",
            "played_note": None,
            "onset_ms": at_ms(sound.onset_ns),
            "length_ms": None if sound.length_ns is None else ms(sound.length_ns),
        }

    names = [sound.note.words for sound in steps]
    listed = " and ".join(part for part in (", ".join(names[:-1]), names[-1]) if part)
    return {
        "start_ms": at_ms(steps[0].onset_ns),
        "theme_ms": at_ms(theme.onset_ns),
        "ornament": None,
        "drill": None,
        "or": [],
        "clean": False,
        "faults": [],
        "said": f"No ornament of the book: {listed} before {theme.note.words}.",
        "steps": [*(row(sound, "quick") for sound in steps), row(theme, "theme")],
    }


def not_judged(said: str) -> PassagePlacement:
    """Why early and late were not judged."""
    return {"judged": False, "off_ms": None, "late": 0, "early": 0, "reps": 0, "said": said}


def passage_row(passage: Passage, placement: PassagePlacement | None = None) -> PassageRow:
    """One passage as it is shown; without ``placement`` nothing is said of early and late."""
    return {
        "start_ms": ms(passage.start_ns),
        "end_ms": ms(passage.end_ns),
        "kind": passage.kind,
        "drill": passage.drill,
        "click_bpm": None if passage.click_bpm is None else round(passage.click_bpm, 1),
        "tune": passage.tune,
        "from": passage.first,
        "placement": placement or not_judged(""),
    }
