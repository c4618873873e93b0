"""What each right opens, and that it opens nothing else."""

import posixpath
import re
from itertools import product

import pytest

from chanterd.config import bundled
from chanterd.serving.access.grants import AT_THIS_MACHINE, WALL, Grant, Role
from chanterd.serving.access.rights import SOCKET, home, may, page_files

FILES = page_files(bundled("web"))
SEAT = Grant(Role.SEAT, "2")
OUTSIDE = [
    ("GET", "/"),
    ("GET", "/enter"),
    ("POST", "/api/enter"),
    ("GET", "/enter/enter.js"),
    ("GET", "/ui/theme.css"),
]
OF_WALL = [
    ("GET", "/wall/"),
    ("GET", "/api/wall"),
    ("GET", "/wall/wall.js"),
    ("GET", "/api/tunings"),
    (SOCKET, "/live"),
]
OF_SEAT = [
    ("GET", "/seat/2"),
    ("GET", "/seat/seat.js"),
    ("GET", "/practise/strip.js"),
    ("GET", "/api/state"),
    ("POST", "/api/practice"),
    (SOCKET, "/live"),
    (SOCKET, "/join"),
]
OF_DESK = [
    ("POST", "/api/class"),
    ("GET", "/api/ways"),
    ("GET", "/seats/"),
    ("GET", "/api/history/runs"),
    ("DELETE", "/api/history/runs/1"),
    ("POST", "/api/input"),
    ("GET", "/openapi.json"),
    ("GET", "/seat/1"),
    ("GET", "/index.html"),
]


@pytest.mark.parametrize(
    ("grant", "opens"),
    [
        (None, OUTSIDE),
        (WALL, OUTSIDE + OF_WALL),
        (SEAT, OUTSIDE + OF_SEAT),
        (AT_THIS_MACHINE, OUTSIDE + OF_WALL + OF_SEAT + OF_DESK),
    ],
)
def test_a_right_opens_its_own_part_only(grant: Grant | None, opens: list[tuple[str, str]]) -> None:
    """Every address of every part is tried with every right."""
    every = {*OUTSIDE, *OF_WALL, *OF_SEAT, *OF_DESK}
    assert {one for one in every if may(grant, *one, FILES)} == set(opens)


SPELLINGS = [
    "/enter/../api/state",
    "//api/state",
    "/api/state/",
    "/API/STATE",
    "/api/enter/../state",
    "/./api/state",
    "/enter/%2e%2e/api/state",
    "/enter/..;/api/state",
    "/enter\\..\\api\\state",
    "/enter/\0",
    "/seat/2/../1",
    "/seat/1",
    "/seat/02",
    "/seat/٢",
    "/seat/2\n",
    "/enter/index.html",
    "/ui/../../chanterd/config.py",
    "/wall/index.html",
    "/core",
    "/core/",
    "",
]


@pytest.mark.parametrize(("grant", "path"), list(product([None, WALL, SEAT], SPELLINGS)))
def test_no_spelling_of_a_path_leads_past(grant: Grant | None, path: str) -> None:
    """Dots, slashes, other digits, other letters: what is not exactly a name on the list is shut."""
    assert not any(may(grant, method, path, FILES) for method in ("GET", "HEAD", "POST", "DELETE", SOCKET))


def test_a_head_is_a_get_and_other_methods_are_not() -> None:
    """A file can be looked at, not changed."""
    assert may(None, "HEAD", "/enter", FILES)
    assert not any(may(SEAT, method, "/enter", FILES) for method in ("PUT", "DELETE", "OPTIONS", "TRACE", SOCKET))


def imported(module: str) -> set[str]:
    """A module of the page and all that it imports, as paths of requests."""
    web, found, waiting = bundled("web"), set[str](), [module]
    while waiting:
        path = waiting.pop()
        if path not in found:
            found.add(path)
            names = re.findall(r'from "(\.[^"]+)"', (web / path[1:]).read_text(encoding="utf-8"))
            waiting += [posixpath.normpath(posixpath.join(posixpath.dirname(path), name)) for name in names]
    return found


@pytest.mark.parametrize(("grant", "module"), [(WALL, "/wall/wall.js"), (SEAT, "/seat/seat.js")])
def test_a_page_may_load_all_its_modules(grant: Grant, module: str) -> None:
    """A single one that is shut would leave the page blank."""
    assert [path for path in sorted(imported(module)) if not may(grant, "GET", path, FILES)] == []


def test_every_right_has_a_page_that_it_opens() -> None:
    """It is where somebody arrives who has entered."""
    for grant in (AT_THIS_MACHINE, WALL, SEAT):
        assert may(grant, "GET", home(grant), FILES)
