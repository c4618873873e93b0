"""Plans: the two that ship, and that all mistakes in a teacher's own are reported at once."""

from dataclasses import replace
from pathlib import Path

import pytest

from chanterd.config import ChanterdError, ConfigError
from chanterd.judging.standard import read_standards
from chanterd.music.book import standard_book
from chanterd.music.layout import read_layouts
from chanterd.music.ornament import Book
from chanterd.practice.exercise import Exercise, Vocabulary
from chanterd.practice.feedback.schedule import read_schedules
from chanterd.practice.passage.asked import TuneAsked
from chanterd.practice.plans.plan import Plan, find_plan, read_plan, read_plans
from chanterd.practice.plans.words import part_words

KNOWN = Vocabulary(standard_book(), read_standards(), read_layouts(), read_schedules())
WARM_UP = '[[part]]\nwarm_up = true\ndrill = "birl from E"\nclick_bpm = 60\nminutes = 2\n'
HEAD = 'name = "Ours"\nsaid = "A plan."\n'


def read(folder: Path, text: str) -> Plan:
    """A plan with that text."""
    path = folder / "ours.toml"
    path.write_text(HEAD + text)
    return read_plan(path, KNOWN)


@pytest.mark.parametrize("plan", read_plans(KNOWN).values(), ids=lambda plan: plan.key)
def test_what_ships_begins_with_a_warm_up_and_has_every_kind_of_part(plan: Plan) -> None:
    """Warm-up first, then stages, minutes, reps and a ladder; no part is longer than a break allows."""
    assert plan.parts[0].warm_up
    assert any(part.exercise.drill.stage for part in plan.parts if isinstance(part.exercise, Exercise))
    assert any(part.exercise.ladder for part in plan.parts)
    assert any(part.reps for part in plan.parts)
    assert all(part.minutes is None or part.minutes <= 25 for part in plan.parts)


def test_there_are_two() -> None:
    """A beginners' evening, and a band player's hour."""
    assert list(read_plans(KNOWN)) == ["lighthouse-class", "quarry-hollow"]


def test_a_plan_that_ones_own_book_no_longer_allows_is_left_out(caplog: pytest.LogCaptureFixture) -> None:
    """A teacher who changes an ornament can still start the daemon; the log says which plan, and why."""
    grips = Book(tuple(one for one in standard_book().ornaments if one.name == "grip"))
    assert read_plans(replace(KNOWN, book=grips)) == {}
    assert [message.partition(":")[0] for message in caplog.messages] == [
        "The plan 'lighthouse-class' is left out",
        "The plan 'quarry-hollow' is left out",
    ]


def test_stages_make_a_part_of_each(tmp_path: Path) -> None:
    """A taorluath is built up in three stages (the third is the full one), each as long."""
    text = WARM_UP + '[[part]]\ndrill = "taorluath from C to low A"\nstages = true\nclick_bpm = 60\nreps = 8\n'
    parts = read(tmp_path, text).parts[1:]
    assert [part.exercise.drill.stage for part in parts if isinstance(part.exercise, Exercise)] == [1, 2, None]
    assert {(part.reps, part.how_long) for part in parts} == {(8, "8 reps")}


def test_a_part_is_no_longer_than_hands_and_ears_bear_without_a_break(tmp_path: Path) -> None:
    """25 minutes at most (common advice, no trial found)."""
    assert read(tmp_path, WARM_UP.replace("minutes = 2", "minutes = 25")).parts[0].minutes == 25
    with pytest.raises(ConfigError, match="25"):
        read(tmp_path, WARM_UP.replace("minutes = 2", "minutes = 25.5"))


def test_breaks_are_about_five_minutes_in_every_twenty_five_unless_said_otherwise(tmp_path: Path) -> None:
    """Common advice, no trial found."""
    plan = read(tmp_path, WARM_UP)
    assert (plan.break_after_minutes, plan.break_minutes) == (25, 5)
    own = read(tmp_path, "[breaks]\nafter_minutes = 15\nminutes = 10\n" + WARM_UP)
    assert (own.break_after_minutes, own.break_minutes) == (15, 10)


def test_a_ladder_needs_no_tempo_beside_its_own(tmp_path: Path) -> None:
    """Its first tempo is the part's."""
    rule = "first_bpm = 64, raise_bpm = 4, in_a_row = 5, top_bpm = 80, tries = 5, performing_bpm = 66"
    part = read(tmp_path, WARM_UP + f'[[part]]\ndrill = "birl from E"\nladder = {{ {rule} }}\n').parts[1]
    assert (part.exercise.click_bpm, part.how_long) == (64.0, "ladder 64 to 80, 5 in a row")


def test_all_mistakes_are_reported_at_once(tmp_path: Path) -> None:
    """No warm-up, an unknown drill, two ways to say how long or none, a bad rule, half a rep: a line each."""
    text = (
        '[[part]]\ndrill = "gripp from B to C"\nclick_bpm = 60\nminutes = 2\nreps = 3\n'
        '[[part]]\ndrill = "birl from E"\nclick_bpm = 600\nwarmup = true\n'
        '[[part]]\ndrill = "birl from E"\nladder = { first_bpm = 60, raise_bpm = 99 }\n'
        '[[part]]\ndrill = "birl from E"\nclick_bpm = 60\nreps = 2.5\nstandard = "strict"\n'
    )
    with pytest.raises(ConfigError) as raised:
        read(tmp_path, text)
    said = str(raised.value)
    assert all(line.startswith("ours.toml: part ") for line in said.splitlines())
    for wanted in (
        "part 1: 'gripp' is not an ornament in the book. Did you mean 'grip'?",
        "part 1: it has 'minutes' and 'reps'; say how long by one of",
        "part 2: 'warmup' is not known here. Did you mean 'warm_up'?",
        "part 2: it has none of them",
        "part 2: 'click_bpm' is 600",
        "part 3: The ladder's 'raise_bpm' is 99",
        "part 4: 'reps' is 2.5; it must be a whole number from 1 to 500.",
        "part 4: The standard 'strict' is not known.",
        "part 1: 'warm_up' is not true; a plan begins with a warm-up",
    ):
        assert wanted in said, said
    assert "'click_bpm' is missing" not in said


def test_a_plan_without_parts_is_none(tmp_path: Path) -> None:
    """One sentence says how a part is begun."""
    with pytest.raises(ConfigError, match=r"needs at least one, begun by a line \[\[part\]\]"):
        read(tmp_path, "")


def test_ones_own_plans_stand_beside_those_that_ship(tmp_path: Path) -> None:
    """A file in the data folder's plans/ is found by its name, and a wrong name is guessed."""
    (tmp_path / "plans").mkdir()
    (tmp_path / "plans" / "monday.toml").write_text(HEAD + WARM_UP)
    plans = read_plans(KNOWN, tmp_path)
    assert find_plan("monday", plans).name == "Ours"
    with pytest.raises(ChanterdError, match=r"'munday' is not known\. Did you mean 'monday'\?"):
        find_plan("munday", plans)


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
        (2, "'seven-gulps' is not on the shelf. Did you mean 'seven-gulls'?"),
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
