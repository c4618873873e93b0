"""What the tests need of the machine beside Python, and how it comes there: apt on Debian and Ubuntu, as root."""

from __future__ import annotations

import os
import platform
import shutil
import subprocess
import sys
from pathlib import Path

from chanterd import bootstrap

BROWSERS = ("chromium", "chromium-browser", "google-chrome")
PURPOSE = "run the tests"


def prepare() -> None:
    """Install what is missing. Raises SetUpError if that is not possible, naming what to install."""
    there = {
        "chromium": bool(find_browser()) or is_ubuntu(),
        "jackd2": shutil.which("jackd") is not None,
        "postgresql": any(Path("/usr/lib/postgresql").glob("*/bin/initdb")) or shutil.which("initdb") is not None,
        "lilypond-data": any(Path("/usr/share/lilypond").glob("*/ly/bagpipe.ly")),
        "abcmidi": shutil.which("abc2midi") is not None,
    }
    missing = [package for package, found in there.items() if not found]
    if not bootstrap.has_all("test") and not bootstrap.works(bootstrap.venv_python()):
        missing += bootstrap.venv_packages()
    if missing:
        bootstrap.debian_install(missing, PURPOSE)


def find_browser() -> str | None:
    """The Chromium that the environment variable CHROMIUM names, or else the system's."""
    return os.environ.get("CHROMIUM") or next(filter(None, map(shutil.which, BROWSERS)), None)


def is_ubuntu() -> bool:
    """Whether this is Ubuntu, which has Chromium only as a snap that a test cannot drive."""
    try:
        return platform.freedesktop_os_release().get("ID") == "ubuntu"
    except OSError:
        return False


def chromium() -> str:
    """The browser to test with; on Ubuntu it is playwright's own build. Raises SetUpError."""
    browser = find_browser()
    if browser:
        return browser
    bootstrap.say("Fetching a browser for the tests.")
    with_libraries = ["--with-deps"] if os.geteuid() == 0 else []
    fetch = [sys.executable, "-m", "playwright", "install", *with_libraries, "chromium"]
    if subprocess.run(fetch, check=False).returncode:
        raise bootstrap.SetUpError(f"To {PURPOSE}, a Chromium is needed: set CHROMIUM to the path of one.")
    from playwright.sync_api import sync_playwright  # noqa: PLC0415  it is there only after set-up

    with sync_playwright() as playwright:
        return playwright.chromium.executable_path
