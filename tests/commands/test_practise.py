"""``chanterd practise``: a plan from the command line, to its end."""

import re
import subprocess
import sys
from pathlib import Path
from typing import Any, cast

import pytest

from chanterd.commands.practise import PlanPrinter, plan_from_words
from chanterd.config import ChanterdError
from chanterd.practice_tables import read_practice_tables

TEXT = """
name = "A short one"
said = "One part."
[[part]]
warm_up = true
drill = "birl from E"
click_bpm = 240
reps = 2
"""


def run(*words: str) -> subprocess.CompletedProcess[str]:
    """The command as a player gives it."""
    command = [sys.executable, "-m", "chanterd.commands.main", "practise", *words]
    return subprocess.run(command, capture_output=True, text=True, timeout=60, check=False)


def test_a_plan_is_gone_through_to_its_end(tmp_path: Path) -> None:
    """With the simulated player and no page: the parts are listed, announced, played, and the command ends well."""
    plan = tmp_path / "short.toml"
    plan.write_text(TEXT)
    done = run(str(plan), "--input", "demo", "--port", "0", "--no-open", "--data", str(tmp_path / "data"))
    assert (done.returncode, done.stderr) == (0, "")
    printed = [line for line in done.stdout.splitlines() if line]
    assert printed[1:4] == ["A short one. One part.", "  1. birl from E, 2 reps at 240", printed[3]]
    assert printed[-4:-2] == ["First, 1 of 1. birl from E, 2 reps at 240.", "Now, 1 of 1. birl from E, 2 reps at 240."]
    assert re.fullmatch(r"birl from E: [0-2] of 2 reps clean\.", printed[-2])
    assert printed[-1] == "'A short one' is done. Rest your hands and your ears."


def test_mistakes_in_a_plan_are_reported_before_anything_starts(tmp_path: Path) -> None:
    """Exit code 2, a line for each mistake on stderr, nothing on stdout."""
    plan = tmp_path / "short.toml"
    plan.write_text(TEXT.replace("240", "9").replace("reps = 2", "reps = 0"))
    done = run(str(plan), "--port", "0", "--no-open", "--data", str(tmp_path / "data"))
    assert (done.returncode, done.stdout) == (2, "")
    assert [line.split(";")[0] for line in done.stderr.splitlines()] == [
        "chanterd: short.toml: part 1: 'click_bpm' is 9",
        "chanterd: short.toml: part 1: 'reps' is 0",
    ]


def test_a_known_plan_is_chosen_by_name(tmp_path: Path) -> None:
    """Those that ship need no path; a name that is nearly one is guessed."""
    tables = read_practice_tables(tmp_path)
    assert plan_from_words("quarry-hollow", tables).name == "Quarry Hollow: before the march"
    with pytest.raises(ChanterdError, match="Did you mean 'quarry-hollow'"):
        plan_from_words("quary-hollow.toml", tables)


def test_each_thing_is_printed_once(capsys: pytest.CaptureFixture[str]) -> None:
    """A sentence that comes again each second is printed once; the end calls for leaving."""
    left: list[bool] = []
    teller = PlanPrinter(lambda: left.append(True))
    for said, news, reminder, state in [
        ("Now.", "", "", "playing"),
        ("Now.", "Up.", "Rest.", "playing"),
        ("Now.", "Up.", "Rest.", "playing"),
        ("Done.", "Proved.", "", "done"),
    ]:
        teller.show(cast("Any", {"said": said, "news": news, "reminder": reminder, "state": state}))
    assert capsys.readouterr().out.split() == ["Now.", "Up.", "Rest.", "Proved.", "Done."]
    assert left == [True]


def test_one_that_cannot_be_used_is_refused_and_keeps_no_other_from_being_practised(tmp_path: Path) -> None:
    """Its tune is gone: why is on stderr, once, and the other plan is gone through to its end."""
    (tmp_path / "plans").mkdir()
    gone = TEXT + '[[part]]\ntune = "made-up"\nclick_bpm = 60\nreps = 3\n'
    (tmp_path / "plans" / "gone.toml").write_text(gone)
    (tmp_path / "plans" / "short.toml").write_text(TEXT)
    end = ("--input", "demo", "--port", "0", "--no-open", "--data", str(tmp_path))
    refused, done = run("gone", *end), run("short", *end)
    assert (refused.returncode, refused.stdout) == (2, "")
    for said in (refused.stderr, done.stderr):
        assert said.count("The plan 'A short one' cannot be used: plans/gone.toml: part 2: The tune 'made-up'") == 1
    assert done.returncode == 0
    assert "'A short one' is done" in done.stdout
