"""A progress bar for long work."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager

from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

OnProgress = Callable[[int, int], None]
"""Called with how many pieces are done, and how many there are."""


@contextmanager
def progress_bar(words: str) -> Iterator[OnProgress]:
    """A bar on stderr if that is a terminal; otherwise nothing."""
    columns = (TextColumn(words), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
    console = Console(stderr=True)
    with Progress(*columns, console=console, transient=True, disable=not console.is_terminal) as progress:
        task = progress.add_task("", total=None)
        yield lambda done, of: progress.update(task, completed=done, total=of)
