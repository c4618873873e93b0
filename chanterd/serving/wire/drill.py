"""A drill in words and in time, for a page to draw; ``_ms`` counts from the ornament's own beat, - is before it."""

from collections.abc import Iterator
from math import ceil
from typing import Literal

from pydantic import with_config
from typing_extensions import TypedDict

from chanterd.judging.report import STRICT
from chanterd.music.note import Note
from chanterd.music.segment import Segment
from chanterd.music.units import NS_PER_MINUTE, ms

CLOSE_CLICKS = 1e-6
"""What is nearer than this is rounding."""


@with_config(STRICT)
class StepShown(TypedDict):
    """One step of the drill; the last one is the theme note."""

    step: int
    note: str
    kind: Literal["quick", "held", "theme"]
    sounds: bool
    """False: equal to the note before it, so it has no onset of its own."""
    offset_ms: float
    """Its expected onset from the ornament's own beat; - is before the beat."""
    length_ms: float


@with_config(STRICT)
class DrillShown(TypedDict):
    """The drill in words and in time, for the page to draw."""

    drill: str
    ornament: str
    lead: str
    theme: str
    spelled: str
    """In words: ``low G, D gracenote, low G, then C on the beat``."""
    beat_step: int
    """The step that belongs on the beat."""
    lead_offset_ms: float
    """The lead's expected onset from the ornament's own beat (negative)."""
    lead_sounds: bool
    """False: the lead equals the theme note of the rep before, which goes on sounding."""
    end_offset_ms: float
    """Where the rep ends, from the ornament's own beat."""
    clicks_ms: list[float]
    """The clicks that fall in the rep, from the ornament's own beat."""
    steps: list[StepShown]


def drill_view(segment: Segment, sounding: Note) -> DrillShown:
    """The drill in words and in time; ``sounding`` is the theme note of the rep before."""
    drill, beat = segment.drill, segment.beat_ns
    return DrillShown(
        drill=drill.words,
        ornament=drill.ornament.name,
        lead=drill.lead.words,
        theme=drill.theme.words,
        spelled=drill.spelled,
        beat_step=drill.anchor_step,
        lead_offset_ms=ms(-beat),
        lead_sounds=drill.lead != sounding,
        end_offset_ms=ms(segment.lasts_ns - beat),
        clicks_ms=[ms(at) for at in _clicks_in(segment)],
        steps=[
            StepShown(
                step=index,
                note=step.note.words,
                kind=step.kind.value,
                sounds=step.sounds,
                offset_ms=ms(segment.offsets_ns[index + 1] - beat),
                length_ms=ms(segment.lengths_ns[index + 1]),
            )
            for index, step in enumerate(drill.steps)
        ],
    )


def _clicks_in(segment: Segment) -> Iterator[int]:
    """The clicks from its start on and before its end, from its own beat, which may be behind one."""
    click_ns = NS_PER_MINUTE / segment.click_bpm
    starts, ends = -segment.beat_ns / click_ns, (segment.lasts_ns - segment.beat_ns) / click_ns
    for click in range(ceil(starts + segment.phase - CLOSE_CLICKS), ceil(ends + segment.phase - CLOSE_CLICKS)):
        yield round((click - segment.phase) * click_ns)
