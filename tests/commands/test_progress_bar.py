"""The bar that shows how far long work is."""

from io import StringIO

import pytest
from rich.console import Console

from chanterd.commands import progress_bar as module
from chanterd.commands.progress_bar import progress_bar


def test_a_bar_shows_on_a_terminal_only(monkeypatch: pytest.MonkeyPatch) -> None:
    """How far the work is; nothing is written where nobody watches."""
    for on_terminal in (False, True):
        seen = StringIO()
        console = Console(file=seen, force_terminal=on_terminal, width=80)
        monkeypatch.setattr(module, "Console", lambda console=console, **_: console)
        with progress_bar("Exporting") as on_progress:
            on_progress(2, 5)
        assert ("Exporting" in seen.getvalue(), "2/5" in seen.getvalue()) == (on_terminal, on_terminal)
