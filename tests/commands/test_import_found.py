"""``chanterd history import`` without a drill."""

import json
from pathlib import Path

import pytest

from tests.command_runner import Commands
from tests.written_takes import write

GRIP = ((0.0, "B"), (840.0, "low G"), (900.0, "D"), (940.0, "low G"), (1000.0, "C"))
"""At 60 clicks a minute."""
DOUBLING = ((0.0, "low A"), (500.0, "high G"), (530.0, "C"), (585.0, "D"), (615.0, "C"))
"""At 120."""


@pytest.fixture
def lesson(tmp_path: Path) -> Path:
    """Six grips, a rest, eight doublings, and a few plain notes."""
    playing: list[tuple[float, str | None]] = []
    playing += [(3000.0 + 2000.0 * rep + at, note) for rep in range(6) for at, note in GRIP]
    playing.append((15_000.0, None))
    playing += [(20_000.0 + 1000.0 * rep + at, note) for rep in range(8) for at, note in DOUBLING]
    playing += [(28_000.0, "E"), (29_000.0, "F"), (30_000.0, "high A"), (31_000.0, None)]
    return write(tmp_path / "lesson.mid", playing)


def test_every_drill_that_is_found_becomes_a_run(chanterd: Commands, lesson: Path) -> None:
    """With its own tempo; what else is in the take is named."""
    code, out, err = chanterd.run("history", "import", lesson, "--player", "Isla")
    assert (code, err) == (0, "")
    first, second, rest = out.splitlines()
    assert first.startswith("Isla, run 1: ")
    assert "grip from B to C, 60 clicks: 6 of 6 clean" in first
    assert "doubling from low A to C, 120 clicks: 8 of 8 clean" in second
    assert rest == "Not kept: 0:28 to 0:31, free playing: there is no ornament in it."
    assert "grip from B to C" in chanterd.run("history", "list")[1]


def test_the_take_of_such_a_run_is_its_part_of_the_recording(chanterd: Commands, lesson: Path, tmp_path: Path) -> None:
    """Judged by itself it gives the same reps."""
    chanterd.run("history", "import", lesson, "--player", "Isla")
    part = tmp_path / "part.mid"
    chanterd.run("history", "take", 2, "--out", part)
    found = chanterd.assessed(part, "doubling from low A to C", "--click-off")
    assert (found["summary"]["played"], found["summary"]["clean"]) == (8, 8)


def test_a_take_without_a_drill_adds_nobody(chanterd: Commands, tmp_path: Path) -> None:
    """And the sentence says what to do."""
    path = write(tmp_path / "take.mid", [(0.0, "B"), (500.0, "C"), (1000.0, None)])
    assert "no ornament was found" in chanterd.refused("history", "import", path, "--player", "Isla")
    assert "Isla" not in chanterd.run("history", "list")[1]


def test_what_is_about_one_drill_needs_its_name(chanterd: Commands, lesson: Path) -> None:
    """A tempo for all of them would be wrong for most."""
    assert "--drill" in chanterd.refused("history", "import", lesson, "--player", "Isla", "--click", "60")


def test_free_playing_is_kept_too(chanterd: Commands, tmp_path: Path) -> None:
    """Listed, shown ornament by ornament, taken away, judged again, exported and deleted like other runs."""
    grips = [(3000.0 * rep + at, note) for rep in range(2) for at, note in GRIP]
    path = write(tmp_path / "free.mid", [*grips, (6_000.0, "E"), (7_000.0, None)])
    _, out, _ = chanterd.run("history", "import", path, "--player", "Isla")
    assert out.strip().startswith("Isla, run free-1: ")
    assert out.strip().endswith("free playing: 2 of 2 ornaments clean.")
    assert "free-1" in chanterd.run("history", "list")[1]
    shown = chanterd.run("history", "show", "free-1")[1].splitlines()
    assert [line.split("  ")[-1] for line in shown[1:]] == ["grip from B to C: Clean."] * 2
    part = tmp_path / "part.mid"
    assert "free playing" in chanterd.run("history", "take", "free-1", "--out", part)[1]
    assert "grip" in chanterd.run("listen", part)[1]
    assert chanterd.run("assess", "--again")[1].strip() == "Judged 1 take again; 0 have new results."
    chanterd.run("history", "export", "--out", tmp_path / "all", "--format", "csv")
    lines = (tmp_path / "all" / "free_ornaments.csv").read_text(encoding="utf-8-sig").splitlines()
    assert len(lines) == 3
    assert lines[1].split(",")[3:5] == ["grip", "grip from B to C"]
    chanterd.run("history", "export", "--out", tmp_path / "all.json", "--format", "json")
    (run,) = json.loads((tmp_path / "all.json").read_text())["free_runs"]
    assert (run["ornaments"], len(run["ornaments_heard"]), run["take"] is None) == (2, 2, False)
    chanterd.run("history", "delete", "--run", "free-1", "--yes")
    assert "free-1" not in chanterd.run("history", "list")[1]
