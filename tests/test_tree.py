"""The tree keeps its shape: a test file for each module, small files, a top level that can be taken in at a glance."""

import ast
import re
import subprocess
from collections import defaultdict
from fnmatch import fnmatchcase
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
MODULES = sorted(
    path.relative_to(ROOT / "chanterd") for path in (ROOT / "chanterd").rglob("*.py") if not path.name.startswith("__")
)
TEST_FILES = sorted(path.relative_to(ROOT / "tests") for path in (ROOT / "tests").rglob("test_*.py"))
CODE = sorted(
    path.relative_to(ROOT)
    for folder, kinds in {"chanterd": ("py",), "tests": ("py", "js"), "web": ("js", "css", "html")}.items()
    for kind in kinds
    for path in (ROOT / folder).rglob(f"*.{kind}")
)

ABOUT_MORE_THAN_ONE_MODULE = {"browser", "outside", "bench"}
"""Folders of tests/ that mirror nothing."""
ABOUT_THE_TREE = {Path("test_tree.py"), Path("test_wheel.py"), Path("test_gate.py")}
TOP_LEVEL = {"README.md", "DEVELOPERS.md", "LICENSE", "pyproject.toml", "chanterd", "web", "tests", "configs"}
LONGEST = 400


def test_of(module: Path) -> Path:
    """Where a module's tests are, both paths within their own folder."""
    return module.with_name(f"test_{module.name}")


test_of.__test__ = False  # type: ignore[attr-defined]  # a helper, though its name reads like a test


@pytest.mark.parametrize("module", MODULES, ids=str)
def test_every_module_has_tests_of_its_own(module: Path) -> None:
    """chanterd/room/module.py is tested in tests/room/test_module.py."""
    mirror = ROOT / "tests" / test_of(module)
    assert mirror.is_file(), f"chanterd/{module} has no tests/{test_of(module)}"
    names = [node.name for node in ast.walk(ast.parse(mirror.read_text())) if isinstance(node, ast.FunctionDef)]
    assert any(name.startswith("test_") for name in names), f"tests/{test_of(module)} holds no test"


@pytest.mark.parametrize("test_file", TEST_FILES, ids=str)
def test_every_test_file_belongs_to_a_module(test_file: Path) -> None:
    """A test file that mirrors no module has been left behind by a move, or stands in the wrong folder."""
    mirrored = {test_of(module) for module in MODULES} | ABOUT_THE_TREE
    assert test_file.parts[0] in ABOUT_MORE_THAN_ONE_MODULE or test_file in mirrored


@pytest.mark.parametrize("path", CODE, ids=str)
def test_every_file_can_be_read_in_one_go(path: Path) -> None:
    """No file of code is longer than 400 lines."""
    assert len((ROOT / path).read_text(encoding="utf-8").splitlines()) <= LONGEST


def test_the_top_level_holds_nothing_else() -> None:
    """Beside dot files, the top level holds the eight entries that DEVELOPERS.md explains, and no script."""
    listed = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True).stdout
    found = {line.split("/")[0] for line in listed.splitlines() if not line.startswith(".")}
    assert found == TOP_LEVEL


def on_the_map() -> dict[str, set[str]]:
    """What the first table of DEVELOPERS.md names, by room; a module at the top level stands for itself."""
    named: dict[str, set[str]] = defaultdict(set)
    room = ""
    table = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8").partition("| room | file |")[2].partition("\n\n")[0]
    for line in table.splitlines()[2:]:
        first, files, *_ = (re.findall(r"`([^`]+)`", cell) for cell in line.strip("|").split("|"))
        room = first[0] if first else room
        named[room] |= {*files, *first}
    return named


def test_the_map_names_every_module() -> None:
    """In the row of its room; ``progress*`` stands for all that begin so."""
    named = on_the_map()
    top = {name for names in named.values() for name in names if name.endswith(".py")}
    python = [path for path in MODULES if "migrations" not in path.parts]
    files = [(f"{path.parts[0]}/", path.stem) for path in python if len(path.parts) > 1]
    files += [("web/", path.stem) for path in (ROOT / "web").glob("*.js")]
    lost = [f"{room}{stem}" for room, stem in files if not any(fnmatchcase(stem, name) for name in named[room])]
    lost += [path.name for path in python if len(path.parts) == 1 and path.name not in top]
    assert not lost, f"DEVELOPERS.md does not say what these are: {', '.join(lost)}"
