"""Set-up, tried on a small checkout of its own that needs nothing from the network."""

import ast
import os
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from chanterd import bootstrap

ROOT = Path(__file__).parent.parent

BACKEND = """
import zipfile

def build_editable(folder, config_settings=None, metadata_directory=None):
    name = "chanterd-0-py3-none-any.whl"
    with zipfile.ZipFile(folder + "/" + name, "w") as wheel:
        wheel.writestr("chanterd-0.dist-info/METADATA", "Metadata-Version: 2.1\\nName: chanterd\\nVersion: 0\\n")
        wheel.writestr("chanterd-0.dist-info/WHEEL", "Wheel-Version: 1.0\\nRoot-Is-Purelib: true\\n")
        wheel.writestr("chanterd-0.dist-info/RECORD", "")
    return name
"""
PYPROJECT = """
[build-system]
requires = []
build-backend = "backend"
backend-path = ["."]

[project]
name = "chanterd"
version = "0"
dependencies = []

[project.optional-dependencies]
test = []
"""
COMMAND_LINE = """
import sys

def main():
    print(sys.prefix, *sys.argv[1:])
"""


@pytest.fixture(scope="module")
def checkout(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A checkout with our set-up in it, a project that needs no package, and a command line that says what it got."""
    root = tmp_path_factory.mktemp("set-up") / "my checkout"
    (root / "chanterd" / "commands").mkdir(parents=True)
    for name in ("__init__.py", "__main__.py", "bootstrap.py"):
        shutil.copy(ROOT / "chanterd" / name, root / "chanterd")
    (root / "chanterd" / "commands" / "__init__.py").touch()
    (root / "chanterd" / "commands" / "main.py").write_text(COMMAND_LINE)
    (root / "backend.py").write_text(BACKEND)
    (root / "pyproject.toml").write_text(PYPROJECT)
    return root


def run(checkout: Path, *arguments: str, python: str | Path = sys.executable) -> subprocess.CompletedProcess[str]:
    """``python -m chanterd`` there, by an interpreter that sees nothing of this test's environment."""
    base = Path(sys.base_prefix) / "bin" / f"python3.{sys.version_info[1]}" if python == sys.executable else python
    environment = {"PATH": "/usr/bin:/bin", "HOME": str(checkout)}
    command = [str(base), "-m", "chanterd", *arguments]
    return subprocess.run(command, cwd=checkout, env=environment, capture_output=True, text=True, check=False)


def test_a_bare_checkout_sets_itself_up_and_goes_on(checkout: Path) -> None:
    """One command ends in the command line, in .venv, with the arguments as they were typed."""
    done = run(checkout, "assess", "two words.mid")
    assert (done.returncode, done.stdout) == (0, f"{checkout / '.venv'} assess two words.mid\n"), done.stderr


def test_two_commands_at_once_set_up_once(checkout: Path) -> None:
    """The second waits for the first, and says so; both go on, and neither clears away what the other installs."""
    shutil.rmtree(checkout / ".venv")
    base = str(Path(sys.base_prefix) / "bin" / f"python3.{sys.version_info[1]}")
    commands = [
        subprocess.Popen(
            [base, "-m", "chanterd", word],
            cwd=checkout,
            env={"PATH": "/usr/bin:/bin", "HOME": str(checkout)},
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        for word in ("inputs", "drills")
    ]
    said = [command.communicate(timeout=120) for command in commands]
    assert [out for out, _ in said] == [f"{checkout / '.venv'} {word}\n" for word in ("inputs", "drills")], said
    assert sum("Making a Python environment" in err for _, err in said) == 1
    assert sum("Another command is setting chanterd up" in err for _, err in said) == 1


def test_without_options_a_checkout_plays_the_demo(checkout: Path) -> None:
    """Without arguments the daemon starts on the simulated player."""
    assert run(checkout).stdout == f"{checkout / '.venv'} serve --input demo\n"


def test_the_second_time_nothing_is_installed(checkout: Path) -> None:
    """A good .venv is used as it is, and silently."""
    run(checkout)
    assert run(checkout, "inputs").stderr == ""


def test_the_interpreter_in_the_environment_will_do_as_well(checkout: Path) -> None:
    """Started by .venv's own Python, as from an editor, nothing is rebuilt."""
    run(checkout)
    done = run(checkout, "inputs", python=checkout / ".venv" / "bin" / "python")
    assert (done.stdout, done.stderr) == (f"{checkout / '.venv'} inputs\n", "")


def test_a_broken_environment_is_rebuilt(checkout: Path) -> None:
    """A .venv whose Python is gone, as after an upgrade of the system, does not stay."""
    run(checkout)
    left_over = checkout / ".venv" / "left over"
    left_over.touch()
    (checkout / ".venv" / "bin" / "python").unlink()
    assert run(checkout, "inputs").stdout.endswith(" inputs\n")
    assert not left_over.exists()


def test_it_installs_again_only_when_the_packages_change(checkout: Path) -> None:
    """A change to the project's own table counts; a change to the settings of a tool does not."""
    run(checkout)
    pyproject = checkout / "pyproject.toml"
    pyproject.write_text(PYPROJECT + "\n[tool.ruff]\nline-length = 100\n")
    assert "Installing" not in run(checkout).stderr
    pyproject.write_text(PYPROJECT.replace('version = "0"', 'version = "1"'))
    assert "Installing" in run(checkout).stderr
    pyproject.write_text(PYPROJECT)


def test_what_cannot_be_installed_is_said_and_can_be_tried_again(checkout: Path) -> None:
    """The error is pip's own words and a sentence on what to do; and the next run starts over."""
    run(checkout)
    pyproject = checkout / "pyproject.toml"
    broken = PYPROJECT.replace("requires = []", 'requires = ["nothing @ file:///not/there"]')
    pyproject.write_text(broken.replace('version = "0"', 'version = "2"'))
    failed = run(checkout)
    assert failed.returncode == 1
    assert "/not/there" in failed.stderr
    assert failed.stderr.endswith(
        "Then run the same command again: it starts from the beginning. Nothing outside .venv has changed.\n"
    )
    assert "Traceback" not in failed.stderr
    left_over = checkout / ".venv" / "half installed"
    left_over.touch()
    pyproject.write_text(PYPROJECT)
    assert run(checkout).returncode == 0
    assert not left_over.exists()


def test_an_old_python_is_refused_with_the_version_needed(monkeypatch: pytest.MonkeyPatch) -> None:
    """Python 3.10 gets one sentence with the version that is needed."""
    monkeypatch.setattr(sys, "version_info", (3, 10, 12, "final", 0))
    with pytest.raises(bootstrap.SetUpError, match=r"chanterd needs 3\.11 or later"):
        bootstrap.check_python()


def test_the_version_needed_is_the_one_in_pyproject() -> None:
    """What set-up says of Python agrees with what pip will say."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
    assert project["requires-python"] == f">={bootstrap.OLDEST[0]}.{bootstrap.OLDEST[1]}"


@pytest.mark.parametrize(
    "path",
    [
        "chanterd/__init__.py",
        "chanterd/__main__.py",
        "chanterd/bootstrap.py",
        "tests/__main__.py",
        "tests/system_packages.py",
    ],
)
def test_set_up_needs_nothing_but_python(path: str) -> None:
    """Whatever runs before set-up parses on Python 3.8 and imports only the standard library and itself."""
    tree = ast.parse((ROOT / path).read_text(), feature_version=(3, 8))
    names = {node.module for node in tree.body if isinstance(node, ast.ImportFrom)}
    names |= {alias.name for node in tree.body if isinstance(node, ast.Import) for alias in node.names}
    rooms = {str(name).split(".")[0] for name in names}
    assert rooms <= sys.stdlib_module_names | {"chanterd", "tests"}


APT_GET = """#!/bin/sh
echo "$DEBIAN_FRONTEND $*" >> "$APT_LOG"
case "$*" in *update*) touch "$APT_LOG.lists" ;; *) test -e "$APT_LOG.lists" ;; esac
"""


@pytest.fixture
def apt_log(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The commands a stand-in for apt-get got; like the real one it finds no package before its first update."""
    (tmp_path / "apt-get").write_text(APT_GET)
    (tmp_path / "apt-get").chmod(0o755)
    monkeypatch.setenv("PATH", f"{tmp_path}:/usr/bin:/bin")
    monkeypatch.setenv("APT_LOG", str(tmp_path / "log"))
    return tmp_path / "log"


def test_root_gets_packages_installed_without_questions(apt_log: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The package lists are fetched only if the first try fails, and apt-get asks no question."""
    monkeypatch.setattr(os, "geteuid", lambda: 0)
    bootstrap.debian_install(["jackd2"], "run the tests")
    bootstrap.debian_install(["chromium"], "run the tests")
    asked = apt_log.read_text().splitlines()
    assert [line.split()[-1] for line in asked] == ["jackd2", "update", "jackd2", "chromium"]
    assert all(line.startswith("noninteractive ") for line in asked)


def test_other_users_see_what_to_type(apt_log: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Who is not root gets the line to type, and nothing is tried."""
    monkeypatch.setattr(os, "geteuid", lambda: 1000)
    with pytest.raises(bootstrap.SetUpError, match=r"To run the tests, .*: sudo apt-get install jackd2 chromium$"):
        bootstrap.debian_install(["jackd2", "chromium"], "run the tests")
    assert not apt_log.exists()
