"""The build-up of an ornament where it is in a tune."""

import pytest

from chanterd.config import ChanterdError
from chanterd.music.book import standard_book
from chanterd.music.drill import drill_from_words
from chanterd.music.tunes.abc import read_abc
from chanterd.music.tunes.build_up import at_stage, build_up, stage_counts, with_stage
from chanterd.music.tunes.naming import name_ornaments
from chanterd.music.tunes.tune import Tune

BOOK = standard_book()


def tune(gracenotes: str, lead: str = "B", theme: str = "c") -> Tune:
    """One note with those gracenotes, between two others."""
    [found] = read_abc(f"X:1\nM:2/4\nL:1/8\nK:HP\n| {lead}2 {{{gracenotes}}}{theme}2 | d4 |\n".encode())
    return found


def stages(gracenotes: str, lead: str = "B", theme: str = "c") -> list[str]:
    """What is played at each stage, in letters; a held step is a capital H behind it."""
    found = build_up(BOOK, tune(gracenotes, lead, theme), 1)
    return [" ".join(step.note.words for step in drill.steps[:-1]) for drill in found]


def test_an_ornament_of_the_book_is_built_up_as_in_the_book() -> None:
    """The same stages as the drill of that name has."""
    written = tune("GdG")
    assert name_ornaments(written, BOOK)[0].drill == "grip from B to C"
    found = build_up(BOOK, written, 1)
    assert found[0].steps == drill_from_words("grip from B to C, stage 1").steps
    assert found[-1].steps == drill_from_words("grip from B to C").steps


def test_gracenotes_that_the_book_does_not_know_are_built_up_from_one_placeholder() -> None:
    """First what carries the beat, then the held notes, then what divides them; the last stage is what is written."""
    assert name_ornaments(tune("gGdGf"), BOOK)[0].drill is None
    assert stages("gGdGf") == ["high G", "high G low G", "high G low G D low G", "high G low G D low G F"]
    assert stages("GdAdG")[0] == "low G"
    placeholder = build_up(BOOK, tune("GdAdG"), 1)[0].steps[0]
    assert len(placeholder.stands_for) > 1, "it takes the time of what is still left out"


def test_every_stage_sounds_and_the_last_is_as_written() -> None:
    """Whatever the gracenotes are, even where the note before sounds one of them already."""
    for gracenotes in ("e", "gcd", "gBd", "eAf", "ABc", "GdGe", "gdGdG", "BGBG", "gfg", "agag"):
        for lead in ("G", "A", "B", "e", "a"):
            written = tune(gracenotes, lead)
            found = build_up(BOOK, written, 1)
            assert tuple(step.note for step in found[-1].steps[:-1]) == written.notes[1].gracenotes
            assert all(any(step.sounds for step in drill.steps) for drill in found)
            assert [drill.stages for drill in found][-1] == len(found)


def test_a_stage_replaces_the_gracenotes_of_that_note_only() -> None:
    """The tune around it is as it was."""
    written = tune("GdG")
    changed = with_stage(written, 1, at_stage(BOOK, written, 1, 1))
    assert [note.gracenotes for note in changed.notes] == [(), (written.notes[1].gracenotes[0],), ()]
    with pytest.raises(ChanterdError, match="stages 1 to 2"):
        at_stage(BOOK, written, 1, 3)
    with pytest.raises(ChanterdError, match="one stage only"):
        at_stage(BOOK, tune("g"), 1, 2)


def test_a_page_gets_how_many_stages_each_ornament_has() -> None:
    """By note; none where there is no gracenote."""
    assert stage_counts(BOOK, tune("GdG")) == [0, 2, 0]
    assert stage_counts(BOOK, tune("g")) == [0, 1, 0]
