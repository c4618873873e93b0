"""``chanterd serve``: the daemon and its page."""

import logging
import os
from collections.abc import Mapping
from contextlib import ExitStack
from typing import Annotated

import typer

from chanterd.commands.collector import collector_paused
from chanterd.commands.options import PORT, DataFolder, StoreUrl, data_folder, port_number
from chanterd.hearing.inputs import HELP as INPUT_HELP
from chanterd.hearing.inputs import open_input
from chanterd.serving.server import serve as serve_forever

app = typer.Typer(add_completion=False)


def log_format(environment: Mapping[str, str]) -> str:
    """How a line of the log looks: the journal, which names itself in ``JOURNAL_STREAM``, adds the time itself."""
    return "%(message)s" if "JOURNAL_STREAM" in environment else "%(asctime)s %(message)s"


@app.command()
def serve(
    source: Annotated[str, typer.Option("--input", metavar="INPUT", help=INPUT_HELP)] = "demo",
    port: Annotated[str, typer.Option(metavar="N", help="Port of this machine; 0 takes any free one.")] = str(PORT),
    data: DataFolder = None,
    store: StoreUrl = None,
    *,
    no_open: Annotated[bool, typer.Option("--no-open", help="Do not open the page in a browser.")] = False,
) -> None:
    """Listen to a chanter and serve the page."""
    logging.basicConfig(level=logging.INFO, format=log_format(os.environ), datefmt="%Y-%m-%d %H:%M:%S")
    folder, number = data_folder(data, to_write=True), port_number(port)
    opened = open_input(source)
    starting = ExitStack()

    def say(page: str) -> None:
        starting.close()
        typer.echo(f"chanterd listens to '{opened.name}'. Open {page} and press the space bar. Ctrl-C stops it.")
        typer.echo("Take a break every half hour, stop if it hurts, and keep the click quieter than the chanter.")

    with starting:
        starting.enter_context(collector_paused())
        serve_forever([opened], folder, number, say, open_page=not no_open, store=store)
