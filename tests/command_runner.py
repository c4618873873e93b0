"""The command line, run in this process: what it prints and its exit code."""

import json
import sys
from pathlib import Path
from typing import Any

import pytest

from chanterd.commands.main import main


class Commands:
    """Runs ``chanterd`` with its data folder in a temporary place."""

    def __init__(self, capfd: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, folder: Path) -> None:
        self._capfd = capfd
        self._monkeypatch = monkeypatch
        self.data = folder
        monkeypatch.setenv("XDG_DATA_HOME", str(folder))
        monkeypatch.setenv("COLUMNS", "80")

    def run(self, *words: object) -> tuple[int, str, str]:
        """Exit code, stdout and stderr."""
        self._monkeypatch.setattr(sys, "argv", ["chanterd", *map(str, words)])
        with pytest.raises(SystemExit) as ended:
            main()
        out, err = self._capfd.readouterr()
        return int(ended.value.code or 0), out, err

    def assessed(self, take: Path, drill: str, *words: object) -> dict[str, Any]:
        """The object that ``assess --json`` prints; it must exit 0 and say nothing else."""
        code, out, err = self.run("assess", take, "--drill", drill, "--json", *words)
        assert (code, err) == (0, "")
        shown = json.loads(out)
        assert isinstance(shown, dict)
        return shown

    def refused(self, *words: object) -> str:
        """The one line that is said of bad input: exit 2, nothing on stdout."""
        code, out, err = self.run(*words)
        assert (code, out) == (2, "")
        assert err.startswith("chanterd: ")
        assert err.count("\n") == 1
        return err.removeprefix("chanterd: ").rstrip("\n")
