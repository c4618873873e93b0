"""Courses: what reps ask in turn. The ways through the scale: common practice, no source."""

from itertools import pairwise

import pytest

from chanterd.music.drill import drill_from_words
from chanterd.music.drill_score import drill_score
from chanterd.music.layout import read_layouts
from chanterd.music.note import WORDS
from chanterd.music.score import Score
from chanterd.music.units import Bpm

LAYOUTS = read_layouts()
UP = list(WORDS)
DOWN = UP[::-1]


def walk(words: str, bpm: float = 60.0) -> Score:
    """That drill up and down the scale."""
    return drill_score(drill_from_words(words), Bpm(bpm), layout=LAYOUTS["up and down the scale"])


def ways(score: Score) -> list[tuple[str, str]]:
    """Lead and theme of each rep."""
    return [(one.drill.lead.words, one.drill.theme.words) for one in score.segments]


@pytest.mark.parametrize("name", [name for name, layout in LAYOUTS.items() if not layout.scale])
def test_a_plain_layout_asks_the_same_drill_in_every_rep(name: str) -> None:
    """One segment, whatever the rep."""
    score = drill_score(drill_from_words("grip from B to C"), Bpm(60), layout=LAYOUTS[name])
    assert not score.changes
    assert {score.segment(rep).drill.words for rep in range(50)} == {"grip from B to C"}
    assert score.left_out == ""


def test_a_thumb_gracenote_goes_from_each_note_to_the_next_up_and_down() -> None:
    """From low G up to high G and back; to and from high A it cannot sound, being high A itself, and that is said."""
    score = walk("thumb gracenote from low A to B")
    assert ways(score) == [*pairwise(UP[:-1]), *pairwise(DOWN[1:])]
    assert score.left_out == (
        "Left out, because the thumb gracenote is not played there: from high G to high A, high A to high G."
    )


def test_each_theme_note_is_the_next_lead_where_the_way_is_whole() -> None:
    """So the melody is the scale, and leads go on sounding."""
    score = walk("thumb gracenote from low A to B")
    assert all(score.segment(rep).drill.theme == score.segment(rep + 1).drill.lead for rep in range(6))


def test_what_is_not_played_between_two_neighbours_is_left_out_and_said() -> None:
    """A grip leads to no D, and to no lower note below E."""
    score = walk("grip from B to C")
    assert ("C", "D") not in ways(score)
    assert ("D", "E") in ways(score)
    assert score.left_out == (
        "Left out, because the grip is not played there: "
        "from C to D, E to D, D to C, C to B, B to low A, low A to low G."
    )


@pytest.mark.parametrize(
    ("words", "theme"),
    [("throw on D from low G", "D"), ("birl from E", "low A"), ("taorluath from C to low A", "low A")],
)
def test_an_ornament_that_keeps_its_theme_is_played_from_each_note_in_turn(words: str, theme: str) -> None:
    """The lead goes up and down the scale, neither end twice; then it all begins again."""
    score = walk(words)
    assert ways(score) == [(lead, theme) for lead in (*UP, *DOWN[1:-1])]
    assert score.left_out == ""
    assert score.segment(16).drill == score.segment(0).drill


def test_a_stage_of_the_build_up_walks_too() -> None:
    """Every rep asks the same stage; where there are fewer, the full ornament."""
    score = walk("grip from B to C, stage 1")
    assert {one.drill.stage for one in score.segments} == {1}
    shorter = walk("throw on D from low A, stage 3")
    assert all(one.drill.stage == 3 or one.drill.stages <= 3 for one in shorter.segments)


def test_all_reps_lie_alike_on_the_clicks() -> None:
    """Same length and the ornament's own beat in the same place, whatever is played."""
    for words in ("doubling from low A to C", "birl from E", "grip from B to C"):
        score = walk(words, bpm=150)
        assert {(one.lasts_ns, one.beat_ns) for one in score.segments} == {(score.turn_ns, 400_000_000)}


def test_an_ornament_with_a_single_way_in_stays_there() -> None:
    """There is nowhere else to go; what is left out is said."""
    score = walk("crunluath a mach on D from D")
    assert not score.changes
    assert score.left_out.startswith("Left out, because the crunluath a mach on D is not played there: from low G,")
