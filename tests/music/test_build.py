"""The build-up of ornaments, stage by stage. How it is practised: common practice, no source."""

import pytest

from chanterd.music.book import standard_book
from chanterd.music.build import Stage, stages
from chanterd.music.note import Note, note_from_abc
from chanterd.music.ornament import Kind
from chanterd.music.sounding import why_silent
from chanterd.music.ways import ways_in

Q, H, T = Kind.QUICK, Kind.HELD, Kind.THEME


def shown(stage: Stage) -> str:
    """A stage in ABC letters, an asterisk before the step on the beat: ``G d G *c``."""
    marks = ["*" if number == stage.beat_step else "" for number in range(len(stage.steps))]
    return " ".join(mark + step.note.abc for mark, step in zip(marks, stage.steps, strict=True))


@pytest.mark.parametrize(
    ("name", "way", "expected"),
    [
        ("doubling", "Ac", ["*g c", "*g c d c"]),
        ("thumb doubling", "gf", ["*a f", "*a f g f"]),
        ("half doubling", "Ac", ["*c", "*c d c"]),
        ("grip", "Bc", ["G *c", "G d G *c"]),
        ("grip", "de", ["G *e", "G B G *e"]),
        ("taorluath", "cA", ["G *A", "G d G *A", "G d G *e A"]),
        ("throw on D", "Ad", ["G *d", "G *c d", "G *d c d"]),
        ("heavy throw on D", "Bd", ["G *d", "G *d G d", "G *d G c d"]),
        ("birl", "eA", ["A *G A", "A *G A G A"]),
        ("G gracenote birl", "eA", ["A *G A", "A *G A G A", "*g A G A G A"]),
        (
            "G gracenote double birl",
            "eA",
            ["A *G A", "A *G A G A", "*g A G A G A", "*g A G A G A G A G A"],
        ),
        ("triple strike", "cB", ["*G B", "*G B G B", "*G B G B G B"]),
        ("shake", "Ac", ["*g c", "*g c e c", "*g c e c G c"]),
        ("G gracenote grip", "Bc", ["*g c", "*g c G c", "*g c G d G c"]),
        ("G-D-E run", "BA", ["*g A", "*g A d A", "*g A d A e A"]),
        ("bubbly note", "cB", ["G *B", "G d G *B", "G d G c G *B"]),
        ("crunluath", "ce", ["G *e", "G d G *e", "G d G *e A e", "G d G *e A f A e"]),
        ("edre", "Be", ["*e A e", "*e A f A e"]),
        ("strike", "cB", ["*G B"]),
        ("G gracenote", "cB", ["*g B"]),
    ],
)
def test_an_ornament_is_built_up_from_the_step_that_carries_the_beat(name: str, way: str, expected: list[str]) -> None:
    """From a placeholder or the step on the beat to the whole, the beat on the same note of the tune throughout."""
    lead, theme = map(note_from_abc, way)
    assert [shown(stage) for stage in stages(standard_book().find(name), lead, theme)] == expected


def held(name: str, way: str, stage: int, step: int) -> tuple[Kind, ...]:
    """What a step replaces, stages from 1 and steps from 0."""
    lead, theme = map(note_from_abc, way)
    return stages(standard_book().find(name), lead, theme)[stage - 1].steps[step].stands_for


def test_a_placeholder_lasts_as_long_as_what_it_replaces() -> None:
    """The plain low G before a grip is as long as low G, D and low G; the C of a throw takes the D gracenote's room."""
    assert held("grip", "Bc", 1, 0) == (H, Q, H)
    assert held("taorluath", "cA", 1, 0) == (H, Q, H)
    assert held("throw on D", "Ad", 2, 1) == (Q, H)
    assert held("crunluath", "ce", 3, 4) == (H, Q, H)
    assert held("G gracenote grip", "Bc", 2, 2) == (H, Q, H)


def test_a_quick_step_is_never_a_placeholder() -> None:
    """A gracenote that went on in the place of others would be no gracenote."""
    for ornament in standard_book().ornaments:
        for lead, theme in ways_in(ornament):
            for stage in stages(ornament, lead, theme):
                for step in stage.steps:
                    assert step.kind is not Q or step.stands_for == (Q,)


def test_no_placeholder_goes_on_past_the_beat() -> None:
    """Where the gracenote on the beat is still to come, the note before ends there; the rest is the theme's."""
    assert held("crunluath a mach", "Be", 3, 3) == (H,)


def test_what_is_left_out_at_the_front_is_the_lead_s() -> None:
    """Only the edre of an open crunluath: its low A is no longer for the D gracenote that will come before it."""
    assert held("crunluath fosgailte", "Be", 1, 0) == (Q,)
    assert held("crunluath fosgailte", "Be", 1, 1) == (H, Q, H)


def test_what_is_left_out_after_the_beat_is_the_theme_s() -> None:
    """With only its G gracenote a doubling's melody note begins early; the gracenote is no longer for it."""
    assert held("doubling", "Ac", 1, 0) == (Q,)
    assert held("doubling", "Ac", 1, 1) == (T,)


@pytest.mark.parametrize("name", [ornament.name for ornament in standard_book().ornaments])
def test_every_stage_can_be_played_and_grows_to_the_whole(name: str) -> None:
    """In every way in: each stage sounds, no two are alike, and the last is the full ornament."""
    ornament = standard_book().find(name)
    for lead, theme in ways_in(ornament):
        built = stages(ornament, lead, theme)
        for stage in built:
            notes, kinds = [step.note for step in stage.steps], [step.kind for step in stage.steps]
            assert why_silent(lead, notes, kinds[:-1], None, range(len(notes))) is None
            assert stage.steps[-1].kind is T
            assert stage.steps[-1].note is theme
            assert stage.heard
        heard = [stage.heard for stage in built]
        assert len(set(heard)) == len(heard)
        lengths = [len(stage.steps) for stage in built]
        assert lengths == sorted(lengths)


def test_a_stage_that_sounds_like_the_next_is_left_out() -> None:
    """From low G to low G a grip's placeholder is the note that sounds already; only the grip is left."""
    assert [shown(stage) for stage in stages(standard_book().find("grip"), Note.LOW_G, Note.LOW_G)] == ["G d G *G"]


def test_there_are_no_stages_where_it_is_not_played() -> None:
    """A grip does not lead to D."""
    assert stages(standard_book().find("grip"), Note.B, Note.D) == ()
