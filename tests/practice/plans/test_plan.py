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
from chanterd.practice.plans.plan import Plan, find_plan, read_plan, read_plans

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
