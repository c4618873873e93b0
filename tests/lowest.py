"""The lowest versions that pyproject.toml allows: an environment of its own with them, and a fast core of the tests.

A floor that is too low is not seen otherwise, since pip takes the newest of everything. ``python3 -m tests`` without
options runs this as one of its steps; once the environment is there, it takes some two minutes.
"""

from __future__ import annotations

import os
import re
import subprocess
import sys

from chanterd import bootstrap

PLACE = bootstrap.VENV / "lowest"
STAMP = PLACE / "set-up"
TOOLS = ("pytest", "hypothesis", "httpx", "jsonschema")
"""What the core needs beside chanterd itself, out of the extra ``test``."""
CORE = (
    "tests/serving/test_guard.py",
    "tests/serving/test_bounds.py",
    "tests/serving/test_server.py::test_a_take_is_judged_alike_live_and_from_the_file",
    "tests/serving/test_server.py::test_it_ends_quietly_while_a_page_watches_a_run",
    "tests/serving/test_server.py::test_hanging_up_on_a_sheet_stops_its_process",
    "tests/serving/wire/test_protocols.py",
    "tests/judging/test_verdict.py",
)
"""A daemon that really serves, with its history, its judge, its frames and its sheets; no fixtures of conftest."""
FLOOR = re.compile(r"([\w.-]+)(?:\[[^\]]*\])?>=([\w.]+)")


def floors(lines: list[str]) -> list[str]:
    """Each requirement at its lowest version, as pip's constraints: ``fastapi>=0.121`` becomes ``fastapi==0.121``."""
    return [f"{found[1]}=={found[2]}" for line in lines if (found := FLOOR.match(line))]


def set_up() -> None:
    """Make the environment, unless it is there and fits. Raises SetUpError."""
    if STAMP.is_file() and STAMP.read_text(encoding="utf-8") == bootstrap.digest():
        return
    project = bootstrap.project_table()
    tools = [line for line in project["optional-dependencies"]["test"] if line.startswith(TOOLS)]
    bootstrap.say("Installing the lowest versions allowed. The first time takes a minute.")
    constraints = bootstrap.VENV / "lowest.txt"
    constraints.write_text("\n".join(floors([*project["dependencies"], *tools])) + "\n", encoding="utf-8")
    for command in (
        (sys.executable, "-m", "venv", "--clear", PLACE),
        (python(), "-m", "pip", "install", "-q", "--no-input", "-c", constraints, *project["dependencies"], *tools),
    ):
        done = subprocess.run(command, cwd=bootstrap.ROOT, capture_output=True, text=True, check=False)
        if done.returncode:
            raise bootstrap.SetUpError(
                f"{done.stdout[-1000:]}{done.stderr[-1000:]}The lowest versions that pyproject.toml allows cannot be "
                "installed together; raise the floor that is named above."
            )
    STAMP.write_text(bootstrap.digest(), encoding="utf-8")


def python() -> str:
    """The interpreter of that environment."""
    return str(PLACE / ("Scripts/python.exe" if os.name == "nt" else "bin/python"))


def main() -> int:
    """Set up and run the core; the exit code is pytest's."""
    try:
        set_up()
    except bootstrap.SetUpError as error:
        sys.exit(str(error))
    # Old versions warn of what newer Pythons will change; that is no concern of ours.
    words = ["-q", "--noconftest", "-p", "no:cacheprovider", "-o", "filterwarnings=default", "-x", *CORE]
    environment = {**os.environ, "PYTHONPATH": str(bootstrap.ROOT)}
    return subprocess.run(
        [python(), "-m", "pytest", *words], cwd=bootstrap.ROOT, env=environment, check=False
    ).returncode


if __name__ == "__main__":
    sys.exit(main())
