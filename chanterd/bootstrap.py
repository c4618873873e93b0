"""Set-up from a bare checkout: makes ``.venv``, installs the project in it, and runs the same command there.

Uses the standard library only, and parses on Pythons too old for the rest, so that it can say which one is needed.
It changes nothing outside ``.venv``, except that it installs Debian's packages when run as root.
"""

from __future__ import annotations

import contextlib
import hashlib
import importlib
import importlib.util
import json
import os
import platform
import re
import shutil
import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn

if TYPE_CHECKING:
    from collections.abc import Iterator

OLDEST = (3, 11)
"""The oldest Python that will do; the same as ``requires-python`` in pyproject.toml."""
ROOT = Path(__file__).resolve().parent.parent
VENV = ROOT / ".venv"
STAMP = VENV / "set-up"
"""Records what is installed in ``.venv``: the extras, and a digest of what pyproject.toml required."""
UNFINISHED = "unfinished"
"""What the stamp says from the first step of an installation to the last."""


class SetUpError(Exception):
    """Set-up cannot go on; the text says what a person can do about it."""


def enter(module: str, extra: str = "") -> None:
    """Return if this interpreter has what is needed; otherwise set up ``.venv`` and run ``module`` there instead.

    ``extra`` names a group of optional dependencies in pyproject.toml. Raises SetUpError.
    """
    check_python()
    if not in_checkout() or has_all(extra):
        return
    python = venv_python()
    with alone():
        if read_stamp() == UNFINISHED or not works(python):
            make_venv()
        if not up_to_date(extra):
            install(python, extra)
    start_again(python, module)


@contextlib.contextmanager
def alone() -> Iterator[None]:
    """Wait until no other command sets the same checkout up: two at once would clear away each other's packages."""
    try:
        import fcntl  # noqa: PLC0415  Windows has none, and goes on without
    except ImportError:
        yield
        return
    with (ROOT / "pyproject.toml").open("rb") as file:
        try:
            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError:
            say("Another command is setting chanterd up; waiting for it.")
            fcntl.flock(file, fcntl.LOCK_EX)
        yield


def check_python() -> None:
    """Raise SetUpError if this Python is too old."""
    if sys.version_info < OLDEST:
        raise SetUpError(
            f"This is Python {platform.python_version()}, and chanterd needs {OLDEST[0]}.{OLDEST[1]} or later. "
            "Start it with a newer one, such as python3.11 or python3.13, if it is installed."
        )


def in_checkout() -> bool:
    """Whether this runs from the source tree; once installed as a wheel, ``configs`` is inside the package."""
    return (ROOT / "pyproject.toml").is_file() and not (Path(__file__).parent / "configs").is_dir()


def has_all(extra: str) -> bool:
    """Whether this interpreter will do: ``.venv`` is up to date, or chanterd is installed in another."""
    if Path(sys.prefix) == VENV:
        return up_to_date(extra)
    from importlib import metadata  # noqa: PLC0415  slow to import, and .venv needs none of it

    project = project_table()
    lines = project["dependencies"] + project["optional-dependencies"].get(extra, [])
    # A line with a marker (;) holds on some Pythons only. Whoever installed chanterd there dealt with those.
    names = [re.split(r"[^\w.-]", line)[0] for line in lines if ";" not in line]
    with contextlib.suppress(metadata.PackageNotFoundError):
        return all(metadata.distribution(name) for name in ["chanterd", *names])
    return False


def project_table() -> dict[str, Any]:
    """The ``project`` table of pyproject.toml."""
    import tomllib  # noqa: PLC0415  older Pythons lack it, and must get as far as check_python

    with (ROOT / "pyproject.toml").open("rb") as file:
        table: dict[str, Any] = tomllib.load(file)["project"]
    return table


def digest() -> str:
    """A digest that changes with the packages in pyproject.toml and with the checkout's folder."""
    requirements = json.dumps([project_table(), str(ROOT)], sort_keys=True)
    return hashlib.sha256(requirements.encode()).hexdigest()


def read_stamp() -> str:
    """The stamp's text; empty if there is none, as in a ``.venv`` that someone made by hand."""
    return STAMP.read_text(encoding="utf-8") if STAMP.is_file() else ""


def up_to_date(extra: str) -> bool:
    """Whether the stamp in ``.venv`` fits what pyproject.toml requires now."""
    *extras, installed = read_stamp().split() or [""]
    return installed == digest() and (not extra or extra in extras)


def venv_python() -> Path:
    """The interpreter of ``.venv``, there or not."""
    return VENV / ("Scripts/python.exe" if os.name == "nt" else "bin/python")


def works(python: Path) -> bool:
    """Whether the interpreter runs and has pip: not if it is half made, or the Python it came from is gone."""
    try:
        return subprocess.run([python, "-c", "import pip"], capture_output=True, check=False).returncode == 0
    except OSError:
        return False


def make_venv() -> None:
    """Make an empty ``.venv``, in place of a broken one if there is one. Raises SetUpError."""
    if venv_packages():
        debian_install(venv_packages(), "make a Python environment")
        importlib.invalidate_caches()
    say("Making a Python environment in .venv; nothing outside this folder changes.")
    made = subprocess.run([sys.executable, "-m", "venv", "--clear", VENV], capture_output=True, text=True, check=False)
    if made.returncode:
        raise SetUpError(
            f"{made.stdout}{made.stderr}No Python environment could be made in {VENV}: is the folder writable, "
            "and the disk not full?"
        )
    STAMP.write_text(UNFINISHED, encoding="utf-8")


def venv_packages() -> list[str]:
    """The package in which Debian and Ubuntu keep the part of Python that makes environments, if it is missing."""
    if importlib.util.find_spec("venv") and importlib.util.find_spec("ensurepip"):
        return []
    return [f"python{sys.version_info[0]}.{sys.version_info[1]}-venv"]


def install(python: Path, extra: str) -> None:
    """Install the project, editable, in ``.venv`` with pip, naming each package. Raises SetUpError."""
    say("Installing what chanterd needs. The first time takes a minute or two.")
    STAMP.write_text(UNFINISHED, encoding="utf-8")
    target = f".[{extra}]" if extra else "."
    command = [str(python), "-m", "pip", "install", "--disable-pip-version-check", "--no-input", "--editable", target]
    output = []
    with subprocess.Popen(
        command,
        cwd=ROOT,
        # A user's own setting to install beside the environment would fail in it.
        env={**os.environ, "PIP_USER": "0"},
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        errors="replace",
    ) as pip:
        for line in pip.stdout or ():
            output.append(line)
            if line.startswith("Collecting "):
                say("  " + re.split(r"[^\w.-]", line.split()[1])[0])
    if pip.returncode:
        raise SetUpError(
            "".join(output[-15:]) + "Installing failed; the lines above are pip's. Is the network up? "
            "Then run the same command again: it starts from the beginning. Nothing outside .venv has changed."
        )
    STAMP.write_text(f"{extra} {digest()}\n", encoding="utf-8")
    say("Set up.")


def start_again(python: Path, module: str) -> NoReturn:
    """Run the module in ``.venv`` with the same arguments, in place of this process where the system can do that."""
    command = [str(python), "-m", module, *sys.argv[1:]]
    if os.name == "nt":  # execv there returns to the shell before the new process has ended
        sys.exit(subprocess.run(command, check=False).returncode)
    os.execv(command[0], command)


def debian_install(packages: list[str], purpose: str) -> None:
    """Install Debian packages as root; otherwise raise SetUpError with the line to type."""
    names = " ".join(packages)
    if not shutil.which("apt-get"):
        raise SetUpError(f"To {purpose}, what Debian calls {names} is missing. Install it, then run this again.")
    if os.geteuid() != 0:
        raise SetUpError(f"To {purpose}, install what is missing, then run this again: sudo apt-get install {names}")
    say(f"Installing {names} with apt-get. This can take a few minutes.")
    environment = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    install_them = ["apt-get", "-y", "-o", "DPkg::Lock::Timeout=300", "--no-install-recommends", "install", *packages]
    # The package lists of a fresh machine are empty or old: then the first try fails, and they are fetched.
    for command in (install_them, ["apt-get", "update"], install_them):
        done = subprocess.run(
            command, env=environment, stdin=subprocess.DEVNULL, capture_output=True, text=True, check=False
        )
        if command is install_them and done.returncode == 0:
            return
    raise SetUpError(
        f"{done.stdout[-2000:]}{done.stderr}apt-get could not install {names}; the lines above are its own."
    )


def say(line: str) -> None:
    """One line of progress for a person, on stderr: what the command itself prints stays clean."""
    sys.stderr.write(line + "\n")
    sys.stderr.flush()
