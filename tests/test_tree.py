"""The tree keeps its shape: a test file for each module, small files, a top level that can be taken in at a glance."""

import ast
import re
import subprocess
from pathlib import Path

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
ABOUT_THE_TREE = {Path("test_lowest.py"), Path("test_tree.py"), Path("test_wheel.py"), Path("test_gate.py")}
TOP_LEVEL = {"README.md", "DEVELOPERS.md", "LICENSE", "pyproject.toml", "chanterd", "web", "tests", "configs"}
LONGEST = 400


def test_of(module: Path) -> Path:
    """Where a module's tests are, both paths within their own folder."""
    return module.with_name(f"test_{module.name}")


test_of.__test__ = False  # type: ignore[attr-defined]  # a helper, though its name reads like a test


def test_every_module_has_tests_of_its_own() -> None:
    """chanterd/package/module.py is tested in tests/package/test_module.py, which holds at least one test."""
    without = [str(module) for module in MODULES if not holds_tests(ROOT / "tests" / test_of(module))]
    assert not without, f"these have no tests of their own: {', '.join(without)}"


def holds_tests(path: Path) -> bool:
    """Whether the file is there and defines a test."""
    if not path.is_file():
        return False
    names = [node.name for node in ast.walk(ast.parse(path.read_text())) if isinstance(node, ast.FunctionDef)]
    return any(name.startswith("test_") for name in names)


def test_every_test_file_belongs_to_a_module() -> None:
    """A test file that mirrors no module has been left behind by a move, or is in the wrong folder."""
    mirrored = {test_of(module) for module in MODULES} | ABOUT_THE_TREE
    lost = [
        str(file) for file in TEST_FILES if file.parts[0] not in ABOUT_MORE_THAN_ONE_MODULE and file not in mirrored
    ]
    assert not lost, f"these mirror no module: {', '.join(lost)}"


def test_every_file_can_be_read_in_one_go() -> None:
    """No file of code is longer than 400 lines."""
    long = [str(path) for path in CODE if len((ROOT / path).read_text(encoding="utf-8").splitlines()) > LONGEST]
    assert not long, f"longer than {LONGEST} lines: {', '.join(long)}"


def test_the_top_level_holds_nothing_else() -> None:
    """Beside dot files, the top level holds the eight entries that DEVELOPERS.md explains, and no script."""
    listed = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True).stdout
    found = {line.split("/")[0] for line in listed.splitlines() if not line.startswith(".")}
    assert found == TOP_LEVEL


def test_the_map_names_every_package() -> None:
    """DEVELOPERS.md says what each package of chanterd/ and each folder of web/ is for."""
    named = set(re.findall(r"`([\w/]+/)`", (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")))
    folders = {f"chanterd/{module.parent}/" for module in MODULES if module.parent.parts}
    folders |= {f"{path.parent}/" for path in CODE if path.parts[0] == "web" and len(path.parts) > 2}
    lost = sorted(folder for folder in folders if folder not in named)
    assert not lost, f"DEVELOPERS.md does not say what these are: {', '.join(lost)}"
