"""``chanterd service``: prints a systemd unit file that runs the daemon as a service of your own account.

Its first lines say how to install it. Quoting follows systemd.service(5), "Command lines".
"""

import shlex
import sys
from collections.abc import Sequence
from pathlib import Path
from string import Template
from typing import Annotated

import typer

from chanterd.commands.options import DataFolder, StoreUrl, port_number
from chanterd.config import ChanterdError, bundled
from chanterd.hearing.inputs import HELP as INPUT_HELP

app = typer.Typer(add_completion=False)
TEMPLATE = "chanterd.service"


def quoted(words: Sequence[str]) -> str:
    """A command line for ``ExecStart``. Raises ChanterdError if a word has a line break: no unit file can."""
    return " ".join(_quoted(word) for word in words)


def _quoted(word: str) -> str:
    if "\n" in word or "\r" in word:
        raise ChanterdError(f"{word!r} has a line break in it; a service's command must be one line.")
    escaped = word.replace("\\", "\\\\").replace('"', '\\"').replace("%", "%%").replace("$", "$$")
    return f'"{escaped}"'


def unit(python: str, folder: Path, options: Sequence[str]) -> str:
    """The unit file that starts ``serve`` with that interpreter, in that folder, with those options."""
    again = shlex.join([python, "-m", "chanterd", "service", *options])
    command = quoted([python, "-m", "chanterd", "serve", "--no-open", *options])
    place = str(folder).replace("%", "%%")
    return Template((bundled("configs") / TEMPLATE).read_text("utf-8")).substitute(
        again=again, command=command, folder=place
    )


@app.command()
def service(
    source: Annotated[str, typer.Option("--input", metavar="INPUT", help=INPUT_HELP)] = "demo",
    port: Annotated[
        str | None, typer.Option(metavar="N", help="Port of this machine. Without it, the usual one.")
    ] = None,
    data: DataFolder = None,
    store: StoreUrl = None,
) -> None:
    """Print a systemd unit file that runs chanterd as a service."""
    if not source.strip():
        raise ChanterdError(f"The input is empty. {INPUT_HELP}")
    options = ["--input", source]
    options += [] if port is None else ["--port", str(port_number(port))]
    options += [] if data is None else ["--data", str(data.absolute())]
    options += [] if store is None else ["--store", store]
    typer.echo(unit(sys.executable, Path.cwd(), options), nl=False)
