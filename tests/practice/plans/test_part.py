"""Parts of a plan that are passages of tunes: what they are, and that all mistakes in them are reported at once."""

from pathlib import Path

import pytest

from chanterd.config import ConfigError
from chanterd.practice.passage.asked import TuneAsked
from chanterd.practice.plans.plan import read_plans
from chanterd.practice.plans.words import part_words
from tests.practice.plans.test_plan import HEAD, KNOWN, WARM_UP, read

PASSAGE = '[[part]]\ntune = "seven-gulls"\n'


def test_a_part_is_a_passage_of_a_tune(tmp_path: Path) -> None:
    """By its notes, by an ornament with what is around it, or all of it; each with its own way to go on."""
    text = (
        f"{WARM_UP}{PASSAGE}from = 10\nto = 12\nclick_bpm = 60\nreps = 5\nclick_off = true\n"
        f'{PASSAGE}ornament = 10\nwidth = "bar"\nclick_bpm = 56\nminutes = 2\nfeedback = "after five"\n'
        f"{PASSAGE}ladder = {{ first_bpm = 50, top_bpm = 60 }}\n"
        f'{PASSAGE}ornament = 10\nclick_bpm = 60\nwiden = {{ in_a_row = 2, to = "two bars" }}\n'
    )
    parts = read(tmp_path, text).parts[1:]
    assert [part_words(part) for part in parts] == [
        "Seven Gulls, the notes in bar 3, 5 rounds at 60",
        "Seven Gulls, bar 3, 2 minutes at 56",
        "Seven Gulls, the whole tune, ladder 50 to 60, 3 in a row",
        "Seven Gulls, the ornament in bar 3 by itself, wider and wider up to bars 3 and 4, 2 in a row at 60",
    ]
    assert [(part.tune, part.counted) for part in parts] == [("seven-gulls", "rounds")] * 4
    asked = [part.exercise for part in parts]
    assert all(isinstance(one, TuneAsked) for one in asked)
    assert (asked[0].click_off, asked[1].feedback.name, asked[2].climbs) == (True, "after five", True)


def test_an_ornament_in_a_tune_is_built_up_in_stages(tmp_path: Path) -> None:
    """The last one is all of it."""
    parts = read(tmp_path, f"{WARM_UP}{PASSAGE}ornament = 31\nstages = true\nclick_bpm = 60\nreps = 4\n").parts[1:]
    stages = [part.exercise.stage for part in parts if isinstance(part.exercise, TuneAsked)]
    assert stages == [*range(1, len(parts)), None]
    assert len(parts) > 1


def test_a_drill_has_feedback_and_its_click_off_too(tmp_path: Path) -> None:
    """As a run that is started by hand."""
    text = f'{WARM_UP}feedback = "after five"\nclick_off = true\n'
    exercise = read(tmp_path, text).parts[0].exercise
    assert (exercise.feedback.name, exercise.click_off) == ("after five", True)


def test_all_mistakes_about_passages_are_reported_at_once(tmp_path: Path) -> None:
    """A sentence for each, with the part that it is in."""
    text = (
        f'{WARM_UP}[[part]]\ntune = "seven-gulps"\nclick_bpm = 60\nreps = 5\n'
        f"{PASSAGE}ornament = 0\nclick_bpm = 60\nreps = 5\n"
        f'{PASSAGE}from = 3\nto = 9999\nclick_bpm = 60\nlayout = "two clicks"\nwidth = "bar"\n'
        f'{PASSAGE}drill = "birl from E"\nstages = true\nreps = 2\n'
        '[[part]]\ndrill = "birl from E"\nfrom = 3\nclick_bpm = 60\nreps = 2\n'
        f"{PASSAGE}from = -1\nclick_bpm = 60\nreps = 2\n"
    )
    with pytest.raises(ConfigError) as failed:
        read(tmp_path, text)
    lines = str(failed.value).splitlines()
    for part, said in (
        (2, "'seven-gulps' is not there. Did you mean 'seven-gulls'?"),
        (3, "Note 0, the E in bar 0, has no gracenotes"),
        (4, "A tune is played as it is written; leave 'layout' out."),
        (4, "say how long by one of 'minutes', 'reps', 'ladder' and 'widen'"),
        (4, "9999"),
        (4, "'width' is about one ornament; say in 'ornament' which note it is on"),
        (5, "it has 'drill' and 'tune'; a part is one or the other"),
        (5, "'stages' builds one ornament up; say in 'ornament' which note it is on"),
        (5, "'click_bpm' is missing"),
        (6, "'from' is about a passage of a tune; name it in 'tune', or leave it out"),
        (7, "'from' is -1; it must be a whole number from 0"),
    ):
        assert any(f"part {part}: " in line and said in line for line in lines), (part, said, lines)


def test_a_players_own_tune_can_be_in_a_plan(tmp_path: Path) -> None:
    """It is in the data folder's tunes, as the plan is in its plans."""
    (tmp_path / "tunes").mkdir()
    (tmp_path / "tunes" / "ours.abc").write_text("X:1\nT:Ours\nM:2/4\nL:1/8\nK:HP\n{g}AB {d}cA|\n")
    (tmp_path / "plans").mkdir()
    part = '[[part]]\ntune = "ours"\nclick_bpm = 60\nreps = 2\n'
    (tmp_path / "plans" / "mine.toml").write_text(HEAD + WARM_UP + part)
    assert read_plans(KNOWN, tmp_path)["mine"].parts[1].exercise.words == "Ours, the whole tune"
