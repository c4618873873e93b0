"""The wheel is whole: what a teacher may change and what the browser loads travel inside it."""

import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent


@pytest.fixture(scope="module")
def installed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the unpacked wheel in it, as pip would lay it out, and nothing of the checkout."""
    folder = tmp_path_factory.mktemp("wheel")
    # The build backend is called as it is: an isolated build would fetch it from the network once more.
    build = [sys.executable, "-m", "hatchling", "build", "--target", "wheel", "--directory", str(folder)]
    subprocess.run(build, cwd=ROOT, capture_output=True, check=True)
    (wheel,) = folder.glob("*.whl")
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(folder / "site")
    return folder / "site"


@pytest.mark.parametrize("name", ["configs", "web"])
def test_the_wheel_holds_every_file_of_a_folder(installed: Path, name: str) -> None:
    """configs/ and web/ are inside the installed package, file for file."""
    there = {path.relative_to(ROOT) for path in (ROOT / name).rglob("*") if path.is_file()}
    carried = {path.relative_to(installed / "chanterd") for path in (installed / "chanterd" / name).rglob("*")}
    assert there
    assert there <= carried


@pytest.mark.parametrize(
    "ask", ["from chanterd.config import bundled; print(bundled('web'))", "import chanterd as c; print(c.__file__)"]
)
def test_the_installed_package_reads_its_own_files(installed: Path, tmp_path: Path, ask: str) -> None:
    """What is read comes from the installed package, not from a checkout that happens to be near."""
    assert run(installed, tmp_path, "-c", ask).startswith(str(installed / "chanterd"))


def test_the_installed_command_runs_from_anywhere(installed: Path, tmp_path: Path) -> None:
    """``python -m chanterd --help`` works from another folder, sets nothing up and names its commands."""
    said = run(installed, tmp_path, "-m", "chanterd", "--help")
    assert "serve" in said
    assert "assess" in said


def run(installed: Path, cwd: Path, *arguments: str) -> str:
    """What Python prints when it sees the unpacked wheel before anything else."""
    environment = {"PYTHONPATH": str(installed), "PATH": "/usr/bin:/bin", "HOME": str(cwd), "COLUMNS": "100"}
    command = [sys.executable, *arguments]
    return subprocess.run(command, cwd=cwd, env=environment, capture_output=True, text=True, check=True).stdout
