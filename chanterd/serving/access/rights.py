"""Which address each right opens. Whatever is not named here is shut, whether it exists or not. Pure.

The desk's right opens everything. A path is compared as a whole, as the server decoded it, so that no spelling of a
path can lead past: what is not exactly one of these is refused.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from chanterd.serving.access.grants import Grant, Role

PAGE_SUFFIX = ".html"
READS = frozenset({"GET", "HEAD"})
SOCKET = "SOCKET"
"""In place of an HTTP method: a WebSocket."""
OUTSIDE_FOLDERS = ("enter",)
"""Folders of the page that anybody may load."""
OUTSIDE_FILES = frozenset({"/icon.svg", "/ui/theme.css"})
ROLE_FOLDERS = {
    Role.WALL: ("core", "ui", "audio", "wall"),
    Role.SEAT: (
        "core",
        "ui",
        "audio",
        "practise",
        "ladder",
        "book",
        "progress",
        "history",
        "plans",
        "setup",
        "listen",
        "tunes",
        "seat",
    ),
}
"""Folders of the page whose modules, styles and pictures a right's own page may load."""

_OUTSIDE = (("GET", "/"), ("GET", "/enter"), ("GET", "/enter/"), ("POST", "/api/enter"))
_INSIDE = (("GET", "/api/grant"), ("DELETE", "/api/grant"), (SOCKET, "/live"))
_OF_WALL = (("GET", "/wall"), ("GET", "/wall/"), ("GET", "/api/wall"), ("GET", "/api/tunings"))
_OF_SEAT = (
    ("GET", "/api/state"),
    ("GET", "/frames.schema.json"),
    (SOCKET, "/join"),
    ("POST", "/api/practice"),
    ("DELETE", "/api/practice"),
    ("POST", "/api/guess"),
    ("GET", "/api/class/keep"),
    ("POST", "/api/class/keep"),
)
"""What these do is then done at that seat only; the routes see to it."""
_SEAT_PAGE = re.compile(r"/seat/([0-9]{1,6})")


@dataclass(frozen=True, slots=True)
class Files:
    """The page's own files that each right may load, as paths of requests."""

    outside: frozenset[str]
    """Without any right."""
    of_role: dict[Role, frozenset[str]]


def page_files(web: Path) -> Files:
    """The files below the folder of the page, sorted by who may load them; a page itself is named in this module."""
    return Files(
        OUTSIDE_FILES | _paths(web, OUTSIDE_FOLDERS),
        {role: OUTSIDE_FILES | _paths(web, folders) for role, folders in ROLE_FOLDERS.items()},
    )


def _paths(web: Path, folders: Iterable[str]) -> frozenset[str]:
    found = (path for folder in folders for path in (web / folder).rglob("*"))
    return frozenset(
        f"/{path.relative_to(web).as_posix()}" for path in found if path.is_file() and path.suffix != PAGE_SUFFIX
    )


def may(grant: Grant | None, method: str, path: str, files: Files) -> bool:
    """Whether that right (None: nobody has entered) opens that address. ``method`` is SOCKET for a WebSocket."""
    if grant is not None and grant.role is Role.DESK:
        return True
    wanted = ("GET" if method in READS else method, path)
    if wanted in _OUTSIDE or (wanted[0] == "GET" and path in files.outside):
        return True
    if grant is None:
        return False
    if wanted in _INSIDE or (wanted[0] == "GET" and path in files.of_role[grant.role]):
        return True
    if grant.role is Role.WALL:
        return wanted in _OF_WALL
    page = _SEAT_PAGE.fullmatch(path)
    return wanted in _OF_SEAT or (wanted[0] == "GET" and page is not None and page[1] == grant.seat)


def home(grant: Grant) -> str:
    """The page that a right is for."""
    if grant.role is Role.SEAT:
        return f"/seat/{grant.seat}"
    return "/wall/" if grant.role is Role.WALL else "/desk/"
