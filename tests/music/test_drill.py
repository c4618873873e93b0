"""Drills: what is to be played, in words and in steps. Facts of the trade: common practice, no source."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chanterd.config import ChanterdError
from chanterd.music.book import standard_book
from chanterd.music.drill import Drill, all_drills, drill_from_words, list_drill, make_drill
from chanterd.music.note import Note
from chanterd.music.ornament import Kind
from chanterd.music.sounding import why_silent

DRILLS = list(all_drills())


def steps(words: str) -> str:
    """The steps of a drill in ABC letters, the theme last."""
    return " ".join(step.note.abc for step in drill_from_words(words).steps)


@pytest.mark.parametrize(
    ("words", "spelled"),
    [
        ("grip from B to C", "G d G c"),
        ("grip from D to E", "G B G e"),
        ("doubling from low A to C", "g c d c"),
        ("doubling from low A to D", "g d e d"),
        ("doubling from low A to E", "g e f e"),
        ("doubling from low A to F", "g f g f"),
        ("doubling from low A to high G", "g f g"),
        ("doubling from low A to high A", "a g a"),
        ("taorluath from C to low A", "G d G e A"),
        ("throw on D from low A", "G d c d"),
        ("heavy throw on D from B", "G d G c d"),
        ("birl from E", "A G A G A"),
        ("G gracenote birl from E", "g A G A G A"),
        ("G gracenote from C to low A", "g A"),
        ("shake from low A to C", "g c e c G c"),
        ("crunluath from low A", "G d G e A f A e"),
        ("darodo from C to B", "G d G c G B"),
    ],
)
def test_a_drill_is_spelled_as_the_trade_spells_it(words: str, spelled: str) -> None:
    """The table of the families, and the examples by which drills are asked for."""
    assert steps(words) == spelled


@pytest.mark.parametrize(
    ("words", "names"),
    [
        ("grip from B to C", ["first low G", "D gracenote", "second low G", "C"]),
        ("taorluath from C to low A", ["first low G", "D gracenote", "second low G", "E gracenote", "low A"]),
        ("doubling from low A to C", ["G gracenote", "short C", "D gracenote", "C"]),
        ("throw on D from low A", ["low G", "D gracenote", "C", "D"]),
        ("heavy throw on D from B", ["first low G", "D gracenote", "second low G", "C", "D"]),
        ("grip from D to E", ["first low G", "B gracenote", "second low G", "E"]),
        ("doubling from B to high G", ["short high G", "F gracenote", "high G"]),
        ("doubling from B to high A", ["short high A", "G gracenote", "high A"]),
        ("strike from high A to high G", ["F tap", "high G"]),
        ("birl from E", ["first short low A", "first low G tap", "second short low A", "second low G tap", "low A"]),
    ],
)
def test_steps_are_called_what_a_teacher_calls_them(words: str, names: list[str]) -> None:
    """Gracenotes, taps, the short notes on the theme's own pitch, and ordinals (common practice, no source)."""
    drill = drill_from_words(words)
    assert [drill.step_name(step) for step in range(len(drill.steps))] == names


def test_no_two_steps_of_a_drill_have_one_name() -> None:
    """Otherwise the player would not know which was meant."""
    for drill in DRILLS:
        names = [drill.step_name(step) for step in range(len(drill.steps))]
        assert len(set(names)) == len(names), drill.words


def test_a_light_throw_has_one_low_g_and_a_heavy_one_two() -> None:
    """That is all the difference between them; both have the D gracenote on the beat."""
    light, heavy = drill_from_words("light throw on D from low A"), drill_from_words("heavy throw on D from low A")
    assert [sum(step.note is Note.LOW_G for step in drill.steps) for drill in (light, heavy)] == [1, 2]
    assert all(drill.steps[drill.beat_step].note is Note.D and drill.beat_step == 1 for drill in (light, heavy))


@pytest.mark.parametrize(
    ("words", "beat_step"),
    [
        ("doubling from low A to C", 0),
        ("grip from B to C", 3),
        ("taorluath from C to low A", 3),
        ("throw on D from low A", 1),
        ("birl from E", 1),
        ("G gracenote birl from E", 0),
    ],
)
def test_the_beat_falls_where_the_trade_has_it(words: str, beat_step: int) -> None:
    """A doubling begins on it, a grip is over before it, a taorluath's E is on it, a birl's first tap is."""
    assert drill_from_words(words).beat_step == beat_step


def test_a_step_equal_to_the_note_before_it_has_no_onset() -> None:
    """From low G a grip's first low G sounds already; from low A a birl's first low A does."""
    grip, birl = drill_from_words("grip from low G to E"), drill_from_words("birl from low A")
    assert [step.sounds for step in grip.steps] == [False, True, True, True]
    assert [step.sounds for step in birl.steps] == [False, True, True, True, True]


def test_where_the_step_on_the_beat_is_silent_its_neighbour_shows_it() -> None:
    """From low G to low G the grip ends in the theme note: the second low G is where the beat is heard."""
    drill = drill_from_words("grip from low G to low G")
    assert (drill.beat_step, drill.anchor_step) == (3, 2)


@pytest.mark.parametrize(
    "words",
    [
        "GRIP from b TO c",
        "grip  from  B  to  C",
        "leumluath from B to C",
        "grip from B to C, stage 2",
        "throw-on-D from low-A",
        "throw on D from low A to D",
        "birl from E to low A",
        "g-gracenote birl from e",
    ],
)
def test_words_are_read_as_people_type_them(words: str) -> None:
    """Case, hyphens and extra blanks are ignored; the one theme note may be left out; the last stage is the whole."""
    assert drill_from_words(words) in DRILLS


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("grip B to C", "The drill 'grip B to C' is not understood; say 'ORNAMENT from NOTE to NOTE', as in"),
        ("gripp from B to C", "'gripp' is not an ornament in the book. Did you mean 'grip'?"),
        ("grip from H to C", "'h' is not a note of the chanter."),
        ("grip from B to G", "Say which: 'low' or 'high'."),
        ("grip from B", "does not say which note the grip leads to; add 'to' and one of low G, low A, B, C, E"),
        ("grip from B to C, stage x", "The stage 'x' is not a number; say it as in 'grip from B to C, stage 1'."),
        ("grip from B to C, stage 3", "The grip from B to C has no stage 3; its build-up has stages 1 to 2."),
        ("grip from B to C, stage 0", "The grip from B to C has no stage 0; its build-up has stages 1 to 2."),
        ("strike from C to B, stage 2", "The strike from C to B has no stage 2; its build-up has one stage only."),
        ("grip from B to D", "Ask for 'throw on D from B'."),
    ],
)
def test_what_is_not_understood_is_refused_with_its_mend(words: str, said: str) -> None:
    """Which part, and how it is meant to be."""
    with pytest.raises(ChanterdError) as error:
        drill_from_words(words)
    assert said in str(error.value)


def test_a_drill_is_spelled_for_a_reader() -> None:
    """With the beat in it; a plain note on the beat has no list before it."""
    assert drill_from_words("grip from B to C").spelled == "low G, D gracenote, low G, then C on the beat"
    assert drill_from_words("throw on D from low A").spelled == "low G, D gracenote on the beat, C, then D"
    assert drill_from_words("half doubling from low A to C, stage 1").spelled == "C on the beat"


def every_stage(drill: Drill) -> list[Drill]:
    """The build-up of a drill."""
    return [make_drill(drill.ornament, drill.lead, drill.theme, stage) for stage in range(1, drill.stages + 1)]


@given(st.sampled_from(DRILLS))
def test_words_of_a_drill_read_back_to_it(drill: Drill) -> None:
    """And so do those of each stage of its build-up, the last of which is the drill itself."""
    for stage in every_stage(drill):
        assert drill_from_words(stage.words) == stage
    assert every_stage(drill)[-1] == drill


@given(st.sampled_from(DRILLS))
def test_every_drill_can_sound(drill: Drill) -> None:
    """In every stage each quick step differs from its neighbours, and the beat is heard on a step that sounds."""
    for stage in every_stage(drill):
        notes, kinds = [step.note for step in stage.steps], [step.kind for step in stage.steps]
        assert why_silent(stage.lead, notes, kinds[:-1], None, range(len(notes))) is None
        assert all(step.sounds for step in stage.steps if step.kind is Kind.QUICK)
        assert stage.steps[stage.anchor_step].sounds
        befores = [stage.lead, *notes[:-1]]
        assert [step.sounds for step in stage.steps] == [
            note != before for note, before in zip(notes, befores, strict=True)
        ]


def test_every_ornament_of_the_book_has_a_drill_and_no_drill_is_listed_twice() -> None:
    """In the order of the book."""
    names = list(dict.fromkeys(drill.ornament.name for drill in DRILLS))
    assert names == [ornament.name for ornament in standard_book().ornaments]
    assert len({drill.words for drill in DRILLS}) == len(DRILLS)


def test_a_drill_is_listed_with_its_stages() -> None:
    """As programs get it; each stage is in words that can be asked for."""
    assert list_drill(drill_from_words("taorluath from D to low A")) == {
        "drill": "taorluath from D to low A",
        "ornament": "taorluath",
        "lead": "D",
        "theme": "low A",
        "steps": ["low G", "B", "low G", "E", "low A"],
        "spelled": "low G, B gracenote, low G, E gracenote on the beat, then low A",
        "stages": [
            "taorluath from D to low A, stage 1",
            "taorluath from D to low A, stage 2",
            "taorluath from D to low A",
        ],
        "beats": ["low A", "low A", "E gracenote"],
        "disputed": "",
        "placements": [{"at": "step 4", "beat": "E gracenote", "drill": "taorluath from D to low A"}],
    }


def test_a_stage_is_listed_as_itself_among_the_stages_of_the_whole() -> None:
    """The stages stay those of the full ornament."""
    listed = list_drill(drill_from_words("grip from B to C, stage 1"))
    assert listed["drill"] == "grip from B to C, stage 1"
    assert listed["stages"] == ["grip from B to C, stage 1", "grip from B to C"]
    assert listed["steps"] == ["low G", "C"]


def test_a_teachers_own_beat_is_used() -> None:
    """The place of the beat is data: with the first low G on it, a throw's beat step is 0."""
    throw = replace(standard_book().find("throw on D"), beat=0)
    assert make_drill(throw, Note.LOW_A, Note.D).beat_step == 0
    with pytest.raises(ChanterdError, match="the low G that belongs on the beat would melt into the low G before it"):
        make_drill(throw, Note.LOW_G, Note.D)


def test_a_plain_change_is_a_drill_without_steps() -> None:
    """From any note to any other, 72 ways; the second note is on the beat; nothing to build up."""
    drill = drill_from_words("change from C to E")
    assert (drill.words, drill.stages, drill.beat_step, drill.anchor_step) == ("change from C to E", 1, 0, 0)
    assert [step.note for step in drill.steps] == [Note.E]
    assert drill.spelled == "E on the beat"
    assert sum(one.ornament.name == "change" for one in all_drills()) == 72
    with pytest.raises(ChanterdError, match="two notes on C in a row melt into one"):
        drill_from_words("change from C to C")


@pytest.mark.parametrize(
    "words",
    [
        "grip from B to C, stage " + "9" * 5000,
        "grip from B to C, stage " + "9" * 150,
        "a" * 100_000,
        " from to" * 50_000,
    ],
    ids=["5,000 digits", "150 digits", "100,000 letters", "from and to"],
)
def test_words_of_any_length_are_answered_with_one_short_sentence(words: str) -> None:
    """At once: numbers of thousands of digits and words without an end reach no parser."""
    with pytest.raises(ChanterdError) as error:
        drill_from_words(words)
    assert len(str(error.value)) < 400
