"""Faults of what was played besides the drill: notes too many, and the noises of crossing fingers.

A note that only comes back after an extra one is none itself: the note before that an extra note fell into, and the
theme note that was left for a movement too many. Such a movement has the name of the one it repeats: ``a third tap``.
"""

from collections.abc import Iterator

from chanterd.following.reading import ExtraKind
from chanterd.judging.crossing import Crossing, crossings
from chanterd.judging.fault import Fault
from chanterd.judging.measure import ExtraMeasured, SegmentMeasured
from chanterd.judging.naming import say_ms
from chanterd.judging.standard import Standard
from chanterd.music.drill import Drill
from chanterd.music.note import Note
from chanterd.music.ordinal import ordinal
from chanterd.music.ornament import Kind
from chanterd.music.sounding import gracenote_name
from chanterd.music.units import NS_PER_MS

MOVEMENT_NS = 120 * NS_PER_MS
"""A note that lasts longer is no gracenote or tap: twice what is right at any tempo (common practice, no source)."""


def extra_faults(
    rep: SegmentMeasured, before: SegmentMeasured | None, drill: Drill, standard: Standard
) -> Iterator[Fault]:
    """By a standard; ``before`` is the rep right before, which left a note sounding."""
    explained: dict[int, Crossing] | None = None
    for extra in rep.extras:
        length = extra.length_ns
        if extra.kind is ExtraKind.EXTRA_NOTE:
            if not _comes_back(extra, rep, drill) and (length is None or length > standard.extra_over_ms * NS_PER_MS):
                yield Fault("extra note", None, f"Extra note: {_named(extra, rep, drill)}.")
        elif extra.kind is ExtraKind.CROSSING_NOISE and (length or 0) > standard.crossing_over_ms * NS_PER_MS:
            explained = crossings(rep, before, drill) if explained is None else explained
            crossing = explained.get(extra.onset_ns)
            said = f"Crossing noise: {_with_length(extra.note.words, extra)}."
            yield Fault("crossing noise", None, said if crossing is None else f"{said} {crossing.said}.", crossing)


def added_after_theme(rep: SegmentMeasured) -> tuple[ExtraMeasured, ...]:
    """The extra notes that came after the theme note was first reached, those included with which it came back."""
    since = rep.steps[-1].onset_ns
    if since is None:
        return ()
    return tuple(extra for extra in rep.extras if extra.kind is ExtraKind.EXTRA_NOTE and extra.onset_ns > since)


def extras_in_lead(rep: SegmentMeasured) -> tuple[ExtraMeasured, ...]:
    """What came before the note before the ornament, or before it came back; the first of all extras."""
    since = rep.lead.onset_ns
    return tuple(extra for extra in rep.extras if since is not None and extra.onset_ns < since)


def repeats_close(rep: SegmentMeasured, drill: Drill) -> bool:
    """Whether what came after the theme note is only the ornament's last movement once more, or twice."""
    movements = [extra.note for extra in added_after_theme(rep) if extra.note is not drill.theme]
    return bool(movements) and len(drill.steps) > 1 and set(movements) == {drill.steps[-2].note}


def _comes_back(extra: ExtraMeasured, rep: SegmentMeasured, drill: Drill) -> bool:
    """Whether it is the note before or the theme note, which something else interrupted."""
    lead, theme = rep.lead.onset_ns, rep.steps[-1].onset_ns
    if lead is not None and extra.note is drill.lead and extra.onset_ns < lead:
        others = (other for other in rep.extras if other.kind is ExtraKind.EXTRA_NOTE)
        return any(extra.onset_ns < other.onset_ns < lead for other in others)
    return theme is not None and extra.note is drill.theme and extra.onset_ns > theme


def _named(extra: ExtraMeasured, rep: SegmentMeasured, drill: Drill) -> str:
    """``a third tap, 30 ms``, ``a second D gracenote, 40 ms``, or the note's own name."""
    length = extra.length_ns
    alike = [
        index for index, step in enumerate(drill.steps[:-1]) if step.kind is Kind.QUICK and step.note is extra.note
    ]
    began = next((step.onset_ns for step in rep.steps if step.onset_ns is not None), None)
    before_all = began is not None and extra.onset_ns < began
    if length is None or length > MOVEMENT_NS or before_all or (not alike and extra not in added_after_theme(rep)):
        return _with_length(extra.note.words, extra)
    above = extra.note > drill.theme
    if alike:
        above = drill.steps[alike[-1]].gracenote or extra.note > drill.steps[alike[-1] + 1].note
    name = gracenote_name(extra.note) if above else "tap"
    if not alike:
        return _with_length(f"{_article(extra.note, above=above)} {name}", extra)
    before = [other for other in rep.extras if other.onset_ns < extra.onset_ns and other.note is extra.note]
    return _with_length(f"a {ordinal(len(alike) + len(before))} {name}", extra)


def _article(note: Note, *, above: bool) -> str:
    return "an" if above and note in (Note.E, Note.F) else "a"


def _with_length(name: str, extra: ExtraMeasured) -> str:
    """``low G, 30 ms``; one that still sounds has no length yet."""
    return name if extra.length_ns is None else f"{name}, {say_ms(extra.length_ns)}"
