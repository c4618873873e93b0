"""All tables a teacher may change are read at once."""

import subprocess
import sys
from pathlib import Path

import pytest

from chanterd.config import ConfigError
from chanterd.practice_tables import read_practice_tables


def test_what_ships_is_whole(tmp_path: Path) -> None:
    """With an empty data folder there is a book, and of everything else something to choose."""
    tables = read_practice_tables(tmp_path)
    assert tables.book.find("grip").name == "grip"
    assert {"learner", "steady", "competition"} <= {*tables.standards}
    assert "written pitch" in tables.profiles
    assert "two clicks" in tables.layouts
    assert "present day" in tables.tunings
    assert "strathspey" in tables.paces
    assert "lighthouse-class" in tables.plans
    assert "after five" in tables.schedules


OWN = (
    "layouts.toml",
    "tunings.toml",
    "tempi.toml",
    "feedback.toml",
    "proposal.toml",
    "ornaments.toml",
    "standards/mine.toml",
    "ornaments/mine.toml",
    "chanters/mine.toml",
    "plans/mine.toml",
)
"""A file of each kind that a teacher may write."""


@pytest.mark.parametrize("text", ["wrong = 1\n", "[[[\n", ""])
@pytest.mark.parametrize("broken", OWN)
def test_mistakes_of_all_tables_are_said_at_once(tmp_path: Path, broken: str, text: str) -> None:
    """Whichever of them is broken itself, or empty: every other file that is wrong is named."""
    for name in OWN:
        path = tmp_path / name
        path.parent.mkdir(exist_ok=True)
        path.write_text(text if name == broken else "wrong = 1\n")
    with pytest.raises(ConfigError) as error:
        read_practice_tables(tmp_path)
    named = {name for name in OWN if any(name in line.split(": ")[0] for line in str(error.value).splitlines())}
    assert {*OWN} - {broken} <= named


def lines_about(folder: Path, *names: str) -> list[str]:
    """What is said of a data folder in which each of these tables holds a word that is not known, line by line."""
    for name in names:
        path = folder / name
        path.parent.mkdir(exist_ok=True, parents=True)
        path.write_text("wrong = 1\n", encoding="utf-8")
    try:
        broken = read_practice_tables(folder).broken_plans.values()
    except ConfigError as error:
        return sorted(str(error).splitlines())
    return sorted(line for one in broken for line in one.mistakes)


def test_no_mistake_hides_behind_another(tmp_path: Path) -> None:
    """With all tables broken each line is there that is there with one alone, though two files have the same name."""
    alone = [line for number, name in enumerate(OWN) for line in lines_about(tmp_path / str(number), name)]
    assert lines_about(tmp_path / "all", *OWN) == sorted(alone)


def test_a_broken_table_is_not_held_against_those_that_name_what_is_in_it(tmp_path: Path) -> None:
    """A plan that asks for one's own ornament and layout: only the broken files are wrong, not the plan."""
    (tmp_path / "plans").mkdir()
    (tmp_path / "plans" / "mine.toml").write_text(
        'name = "Mine"\nsaid = "Mine."\n[[part]]\nwarm_up = true\ndrill = "flick from B to C"\nlayout = "slow"\n'
        "click_bpm = 60\nminutes = 3\n"
    )
    (tmp_path / "proposal.toml").write_text('[new]\norder = ["flick from B to C"]\n')
    (tmp_path / "ornaments.toml").write_text("[[ornament")
    (tmp_path / "layouts.toml").write_text("[[layout")
    with pytest.raises(ConfigError) as error:
        read_practice_tables(tmp_path)
    assert len(str(error.value).splitlines()) == 2


def test_no_file_of_configs_is_read_while_somebody_plays(tmp_path: Path) -> None:
    """In a process of its own: after the tables are read, a run with faults and advice opens none of them."""
    script = """
import sys
from pathlib import Path
from chanterd.practice_tables import read_practice_tables
tables = read_practice_tables(Path(sys.argv[1]))
opened = []
sys.addaudithook(lambda event, args: opened.append(str(args[0])) if event == "open" else None)
from chanterd.judging.advice import advise
from chanterd.judging.fault import ORDER, Fault
from chanterd.music.drill_score import drill_score
from chanterd.music.drill import all_drills, drill_from_words
from chanterd.music.fingering import crossing_notes
from chanterd.music.note import Note
from chanterd.practice.proposal.rule import read_proposal_rule
drill_score(drill_from_words("grip from B to C"), 60)
crossing_notes(Note.C, Note.E)
[advise(Fault(fault, 0, ""), drill) for fault in ORDER for drill in all_drills()]
print([one for one in opened if one.endswith(".toml")])
"""
    done = subprocess.run([sys.executable, "-c", script, str(tmp_path)], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
