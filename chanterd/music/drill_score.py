"""The score of a drill: the drill over and over, or its ornament up and down the scale. Each turn is a rep."""

from collections.abc import Sequence
from itertools import pairwise

from chanterd.music.drill import Drill, make_drill
from chanterd.music.layout import Layout, standard_layout
from chanterd.music.note import Note
from chanterd.music.ornament import Ornament
from chanterd.music.score import Score, over_and_over
from chanterd.music.segment import make_segment
from chanterd.music.spread import Spread
from chanterd.music.units import Bpm
from chanterd.music.ways import find_spelling, leads_to

FEWEST_WAYS = 5
"""Played in fewer ways than this from a note of the scale to the next, an ornament keeps its theme note, and only the
note before it walks: a throw on D cannot go anywhere else."""

NotePair = tuple[Note, Note]
"""Lead and theme."""


def drill_score(drill: Drill, click_bpm: Bpm, spread: Spread | None = None, layout: Layout | None = None) -> Score:
    """Lay out what a layout makes of a drill: the drill itself, or its ornament up and down the scale."""
    layout = layout or standard_layout()
    if not layout.scale:
        return _in_turn([drill], click_bpm, spread, layout)
    ornament = drill.ornament
    keeps = keeps_theme(ornament)
    ways = _way_to(ornament, drill.theme) if keeps else [way for way in _NEIGHBOURS if find_spelling(ornament, *way)]
    whole = [(lead, drill.theme) for lead in Note] if keeps else _NEIGHBOURS
    left_out = [
        lead.words if keeps else f"{lead.words} to {theme.words}" for lead, theme in whole if (lead, theme) not in ways
    ]
    return _in_turn(
        [_at_stage(drill, *way) for way in ways],
        click_bpm,
        spread,
        layout,
        f"Left out, because the {ornament.name} is not played there{_so(ornament)}: from {', '.join(left_out)}."
        if left_out
        else "",
    )


def _in_turn(
    drills: Sequence[Drill], click_bpm: Bpm, spread: Spread | None, layout: Layout, left_out: str = ""
) -> Score:
    """The drills one after the other, each as long as a rep of the layout."""
    return over_and_over(
        [make_segment(drill, click_bpm, spread, layout) for drill in drills],
        [layout.starts_at + layout.clicks * index for index in range(len(drills))],
        layout.clicks * len(drills),
        left_out,
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
