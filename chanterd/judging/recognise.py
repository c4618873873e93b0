"""Which ornament it was: where another one of the book fits what was played exactly, and the asked one does not.

What is compared is what sounds between the same two notes. If notes were only left out, the other one counts only if it
is of the same chapter of the book, as a light throw for a heavy one: everything lacks something of something else. One
note that is another one is a wrong note, and a closing movement once more is an extra note; neither is an ornament.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from chanterd.following.reading import ExtraKind, StepState
from chanterd.judging.extras import extras_in_lead, repeats_close
from chanterd.judging.measure import SegmentMeasured
from chanterd.music.book import standard_book
from chanterd.music.drill import Drill, make_drill
from chanterd.music.note import Note
from chanterd.music.ornament import Ornament
from chanterd.music.sounding import melted
from chanterd.music.ways import find_spelling

MERGED = StepState.MERGED
NOTES = (ExtraKind.EXTRA_NOTE,)

Sound = tuple[Note, ...]
"""The notes after the lead, the theme last; none of them equals the one before it."""

VOWELS = frozenset("aeioEF")
"""How words begin that ``an`` is said before, the names of notes among them."""


@dataclass(frozen=True, slots=True)
class Recognised:
    """Another ornament than the one that was asked for."""

    ornament: Ornament
    whole: bool
    """It is the one whose build-up was asked for, played as a whole."""

    def said(self, drill: Drill) -> str:
        """One sentence: ``You played a heavy throw on D, not a throw on D``."""
        if self.whole:
            return f"You played the whole {self.ornament.name}, not stage {drill.stage}."
        return f"You played {_a(self.ornament.name)}, not {_a(drill.ornament.name)}."


def recognise(rep: SegmentMeasured, drill: Drill) -> Recognised | None:
    """The ornament that was played instead, if it is known.

    What was taken for crossing fingers may have been meant, where nobody expected those notes.
    """
    inside = rep.extras[len(extras_in_lead(rep)) :]
    as_asked = all(
        step.onset_ns is not None and step.played_note is None for step in rep.steps if step.state is not MERGED
    )
    if as_asked and all(extra.kind is not ExtraKind.EXTRA_NOTE for extra in inside):
        return None
    return _named(rep, drill, NOTES) or _named(rep, drill, (*NOTES, ExtraKind.CROSSING_NOISE))


def _named(rep: SegmentMeasured, drill: Drill, kinds: Sequence[ExtraKind]) -> Recognised | None:
    heard, asked = _heard(rep, drill, kinds), _sound(drill)
    if heard == asked or len(heard) < 2 or heard[-1] is not drill.theme or repeats_close(rep, drill):  # noqa: PLR2004 - the theme alone is no ornament
        return None
    if len(heard) == len(asked) and sum(one is not other for one, other in zip(heard, asked, strict=True)) == 1:
        return None
    fitting = _book(drill.lead, drill.theme).get(heard, ())
    if drill.stage is not None and drill.ornament.name in {one.name for one in fitting}:
        return Recognised(drill.ornament, whole=True)
    alike = [one for one in fitting if one.chapter == drill.ornament.chapter]
    if not alike and _is_part(heard, asked):
        return None
    return next((Recognised(one, whole=False) for one in (*alike, *fitting)), None)


@cache
def _book(lead: Note, theme: Note) -> dict[Sound, tuple[Ornament, ...]]:
    """Every ornament of the book that is played between the two notes, by what is heard of it."""
    found: dict[Sound, tuple[Ornament, ...]] = {}
    for ornament in standard_book().ornaments:
        if find_spelling(ornament, lead, theme):
            sound = _sound(make_drill(ornament, lead, theme))
            found[sound] = (*found.get(sound, ()), ornament)
    return found


def _sound(drill: Drill) -> Sound:
    return melted(drill.lead, *(step.note for step in drill.steps))[1:]


def _heard(rep: SegmentMeasured, drill: Drill, kinds: Sequence[ExtraKind]) -> Sound:
    """What sounded from the note before on, of the extras only those of these kinds."""
    since = rep.lead.onset_ns
    sounds = [
        (step.onset_ns, step.note if step.played_note is None else step.played_note)
        for step in rep.steps
        if step.onset_ns is not None
    ]
    sounds += [(extra.onset_ns, extra.note) for extra in rep.extras if extra.kind in kinds]
    return melted(drill.lead, *(note for at, note in sorted(sounds) if since is None or at > since))[1:]


def _is_part(heard: Sound, asked: Sound) -> bool:
    """Whether only notes were left out."""
    rest = iter(asked)
    return all(note in rest for note in heard)


def _a(name: str) -> str:
    """``an edre``, ``an E gracenote``, ``a grip``."""
    return f"{'an' if name[0] in VOWELS else 'a'} {name}"
