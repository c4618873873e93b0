"""A course: what is to be played, rep after rep: a drill over and over, or an ornament up and down the scale.

Reps count from 0; after the last of its timetables a course begins with the first again.
"""

from dataclasses import dataclass
from itertools import pairwise

from chanterd.music.drill import Drill, make_drill
from chanterd.music.layout import Layout, standard_layout
from chanterd.music.note import Note
from chanterd.music.ornament import Ornament
from chanterd.music.timetable import Spread, Timetable, make_timetable
from chanterd.music.units import Bpm, Ns
from chanterd.music.ways import find_spelling, leads_to

FEWEST_WAYS = 5
"""Played in fewer ways than this from a note of the scale to the next, an ornament keeps its theme note, and only the
note before it walks: a throw on D cannot go anywhere else."""

NotePair = tuple[Note, Note]
"""Lead and theme."""


@dataclass(frozen=True, slots=True)
class Course:
    """The timetables of the reps in turn; all of one layout, tempo and length."""

    drill: Drill
    """The drill it was made from; its ornament is what all reps have in common."""
    timetables: tuple[Timetable, ...]
    left_out: str = ""
    """What of the scale is not played, in one sentence; empty if nothing."""

    def of(self, rep: int) -> Timetable:
        """What is to be played in that rep, and when."""
        return self.timetables[rep % len(self.timetables)]

    @property
    def layout(self) -> Layout:
        """How its reps are placed on the clicks."""
        return self.timetables[0].layout

    @property
    def rep_ns(self) -> Ns:
        """The length of each rep."""
        return self.timetables[0].rep_ns

    @property
    def changes(self) -> bool:
        """Whether not all reps are alike."""
        return len(self.timetables) > 1


def make_course(drill: Drill, click_bpm: Bpm, spread: Spread | None = None, layout: Layout | None = None) -> Course:
    """Lay out what a layout makes of a drill: the drill itself, or its ornament up and down the scale."""
    layout = layout or standard_layout()
    if not layout.scale:
        return Course(drill, (make_timetable(drill, click_bpm, spread, layout),))
    ornament = drill.ornament
    keeps = keeps_theme(ornament)
    ways = _way_to(ornament, drill.theme) if keeps else [way for way in _NEIGHBOURS if find_spelling(ornament, *way)]
    whole = [(lead, drill.theme) for lead in Note] if keeps else _NEIGHBOURS
    left_out = [
        lead.words if keeps else f"{lead.words} to {theme.words}" for lead, theme in whole if (lead, theme) not in ways
    ]
    return Course(
        drill,
        tuple(make_timetable(_at_stage(drill, *way), click_bpm, spread, layout) for way in ways),
        f"Left out, because the {ornament.name} is not played there{_so(ornament)}: from {', '.join(left_out)}."
        if left_out
        else "",
    )


def _so(ornament: Ornament) -> str:
    return " with this beat" if ornament.moved else ""


_NEIGHBOURS = [*pairwise(Note), *pairwise(reversed(Note))]
"""From each note of the scale to the next, up and then down."""


def keeps_theme(ornament: Ornament) -> bool:
    """Whether it stays on its theme note while the note before it goes up and down the scale."""
    return sum(find_spelling(ornament, *way) is not None for way in _NEIGHBOURS) < FEWEST_WAYS


def _way_to(ornament: Ornament, theme: Note) -> list[NotePair]:
    """From each note that it is played from, up and down again; neither end twice running."""
    up = [(lead, theme) for lead in leads_to(ornament, theme)]
    return [*up, *up[-2:0:-1]]


def _at_stage(drill: Drill, lead: Note, theme: Note) -> Drill:
    """The same stage on another way, or the full ornament where the build-up is shorter there."""
    full = make_drill(drill.ornament, lead, theme)
    if drill.stage is None or drill.stage >= full.stages:
        return full
    return make_drill(drill.ornament, lead, theme, drill.stage)
