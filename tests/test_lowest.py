"""The lowest versions: read out of pyproject.toml as it is, and above the holes that are known."""

from pathlib import Path

from chanterd import bootstrap
from tests.lowest import CORE, floors

SAFE = {
    "starlette": (0, 49, 1),  # CVE-2025-62727: ranges of a file that take ever longer
    "h11": (0, 16),  # CVE-2025-43859: two readings of one chunked body
    "mako": (1, 2, 2),  # CVE-2022-40023, brought by alembic
    "pillow": (11, 3),  # CVE-2025-48379, brought by reportlab
}
"""The first versions without the hole; the numbers are those of cve.org, from memory."""


def test_a_requirement_becomes_its_floor() -> None:
    """Extras and markers are no part of a constraint."""
    lines = ["uvicorn[standard]>=0.38", "python-rtmidi>=1.5.8; python_version < '3.13'", "mir_eval>=0.7"]
    assert floors(lines) == ["uvicorn==0.38", "python-rtmidi==1.5.8", "mir_eval==0.7"]


def test_every_requirement_has_a_floor() -> None:
    """Without one the lowest version is the first that was ever published."""
    lines = bootstrap.project_table()["dependencies"]
    assert len(floors(lines)) == len(lines)


def test_no_floor_is_below_a_known_hole() -> None:
    """Also of packages that only come along with others: they are named for that."""
    there = dict(line.split("==") for line in floors(bootstrap.project_table()["dependencies"]))
    for name, safe in SAFE.items():
        assert tuple(map(int, there[name].split("."))) >= safe, name


def test_the_core_is_there() -> None:
    """A file that was moved would be missed only where the lowest versions are tried."""
    for path, _, name in (one.partition("::") for one in CORE):
        assert f"def {name}" in (Path(bootstrap.ROOT) / path).read_text(encoding="utf-8"), (path, name)
