"""What to do about a fault: a sentence and a drill that helps."""

from pathlib import Path

import pytest

from chanterd.config import ConfigError, bundled
from chanterd.judging.advice import advise, read_remedies, standard_remedies
from chanterd.judging.crossing import Crossing
from chanterd.judging.fault import ORDER, Fault
from chanterd.music.drill import all_drills, drill_from_words
from chanterd.music.note import Note

GRIP = drill_from_words("grip from B to C")


def drill_for(fault: str, step: int | None = None, words: str = "grip from B to C") -> str | None:
    """The drill that helps with it."""
    return advise(Fault(fault, step, ""), drill_from_words(words)).drill


def test_every_fault_has_a_remedy() -> None:
    """One row each, a whole sentence."""
    remedies = standard_remedies()
    assert set(remedies) == set(ORDER)
    assert all(remedy.do.endswith(".") for remedy in remedies.values())


def test_the_advice_names_the_notes_of_the_drill() -> None:
    """The step it is about, the note before, the note after, the ornament."""
    assert advise(Fault("crushed", 2, ""), GRIP).said == (
        "Open up the second low G: play it slowly enough to hear it, then close it little by little."
    )
    assert "Play the B as if nothing followed it, and start the grip" in advise(Fault("wound up", -1, ""), GRIP).said
    assert advise(Fault("paused", 3, ""), GRIP).said == "Go straight on: the C ends on the click, like any other note."


def test_what_is_off_the_beat_goes_back_to_the_step_that_carries_it() -> None:
    """Stage 1; where that is played already, the same again, slower."""
    for fault in ("early", "late", "wound up", "cut short", "paused"):
        assert drill_for(fault, 3) == "grip from B to C, stage 1"
        assert drill_for(fault, 1, "grip from B to C, stage 1") is None


def test_a_faulty_step_goes_back_to_the_stage_where_it_comes_in() -> None:
    """The D gracenote of a taorluath comes in at stage 2; what no stage before the whole has is the same, slower."""
    taorluath = "taorluath from C to low A"
    assert drill_for("missing step", 1, taorluath) == f"{taorluath}, stage 2"
    assert drill_for("crushed", 0, taorluath) == f"{taorluath}, stage 1"
    assert drill_for("missing step", 3, taorluath) is None
    assert drill_for("crushed", 1, "doubling from low A to C") is None
    assert drill_for("wrong note", 0, "G gracenote from C to low A") is None


def test_an_extra_note_asks_for_the_same_slower() -> None:
    """No other drill."""
    assert drill_for("extra note") is None


def test_crossed_fingers_are_given_exactly_that_change() -> None:
    """The two plain notes by turns; without an explanation the same again, slower."""
    crossed = Fault("crossing noise", None, "", Crossing(Note.C, Note.LOW_A, Note.E))
    assert advise(crossed, GRIP).drill == "change from C to E"
    assert drill_for("crossing noise") is None


def test_every_drill_with_a_build_up_is_sent_back_to_a_stage_of_it() -> None:
    """For every drill of the book: late, to its first stage; a step missing, to a stage that has it, or to none."""
    for drill in all_drills():
        stages = [f"{drill.words}, stage {number}" for number in range(1, drill.stages)]
        assert advise(Fault("late", len(drill.steps) - 1, ""), drill).drill == next(iter(stages), None)
        for step in range(len(drill.steps)):
            words = advise(Fault("missing step", step, ""), drill).drill
            asked = drill.steps[step]
            having = [
                stage
                for stage in stages
                if (asked.note, asked.kind) in [(one.note, one.kind) for one in drill_from_words(stage).steps[:-1]]
            ]
            assert words == next(iter(having), None)


def test_an_error_in_a_table_lists_all_its_mistakes(tmp_path: Path) -> None:
    """An unknown fault, an unknown drill, a word in braces that is none, a row left out."""
    text = (bundled("configs") / "advice.toml").read_text()
    text = text.replace("[late]", "[lat]").replace('drill = "same"', 'drill = "other"').replace("{ornament}", "{tune}")
    path = tmp_path / "advice.toml"
    path.write_text(text)
    with pytest.raises(ConfigError) as caught:
        read_remedies(path)
    said = str(caught.value)
    assert "'lat' is not known here. Did you mean 'late'?" in said
    assert "'late' is missing; it must be a table, begun by a line [late]." in said
    assert "extra note: 'drill' is 'other'; it must be one of 'stage', 'beat', 'change', 'same'." in said
    assert "only {step}, {lead}, {theme}, {ornament} and {spelled} may be in braces" in said
