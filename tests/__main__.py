"""``python3 -m tests``: installs what the checks need, then runs them all; options go on to pytest.

Stops at the first check that fails. pytest comes last, and its closing line is the last one printed.
"""

from __future__ import annotations

import os
import subprocess
import sys

from chanterd import bootstrap
from tests import system_packages

STEPS = (
    ("Layout of the code", ("-m", "ruff", "format", "--check")),
    ("Lint", ("-m", "ruff", "check")),
    ("Types", ("-m", "mypy")),
    ("Who may import whom", ("-c", "from importlinter.cli import lint_imports_command as check; check()")),
)
"""What is checked before the tests: what to call it, and Python's arguments."""

WHOLE = ("--whole", "--numprocesses", "2", "--dist", "loadfile", "--no-loadscope-reorder")
"""All tests, in two processes, since most of them wait for another one: a browser, a daemon, a chanter. A file stays
whole, and files keep their order, so that the browser is started once in each process."""


def main() -> int:
    """Set up, check, test; the exit code is 0 only if all went well."""
    try:
        set_up()
        for title, arguments in STEPS:
            check(title, arguments)
        if not sys.argv[1:]:
            check("The lowest versions allowed", ("-m", "tests.lowest"))
    except bootstrap.SetUpError as error:
        sys.exit(str(error))
    except KeyboardInterrupt:
        sys.exit("Stopped.")
    announce("Tests")
    return run_pytest(sys.argv[1:])


def set_up() -> None:
    """What the checks need, of the machine and of Python. Raises SetUpError."""
    bootstrap.check_python()
    system_packages.prepare()
    bootstrap.enter("tests", "test")
    os.environ["CHROMIUM"] = system_packages.chromium()


def check(title: str, arguments: tuple[str, ...]) -> None:
    """Run one step; if it fails, that is the end."""
    announce(title)
    if subprocess.run([sys.executable, *arguments], cwd=bootstrap.ROOT, check=False).returncode:
        sys.exit(f"{title}: failed. What is wrong stands above; nothing after it was run.")


def announce(title: str) -> None:
    """A line that says what runs now."""
    bootstrap.say(f"\n== {title} ==")


def run_pytest(options: list[str]) -> int:
    """Run the tests in this process; without options that is all of them, and none may have gone missing."""
    import pytest  # noqa: PLC0415  it is there only after set-up

    return int(pytest.main(["-p", "tests.gate", *(options or WHOLE)]))


if __name__ == "__main__":
    sys.exit(main())
