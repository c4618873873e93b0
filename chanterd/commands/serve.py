"""``chanterd serve``: runs the daemon and serves its page."""

import logging
import os
from collections.abc import Callable, Mapping
from contextlib import ExitStack
from typing import Annotated

import typer

from chanterd.commands.collector import collector_paused
from chanterd.commands.network import (
    Lan,
    NetworkCommand,
    TlsCert,
    TlsKey,
    TlsSelfSigned,
    announce,
    announce_again,
    network_from,
)
from chanterd.commands.options import PORT, DataFolder, StoreUrl, data_folder, port_number
from chanterd.hearing.inputs import DEMO, open_input
from chanterd.hearing.inputs import HELP as INPUT_HELP
from chanterd.hearing.named import names_and_inputs
from chanterd.serving.daemon import Daemon
from chanterd.serving.server import serve as serve_forever

app = typer.Typer(add_completion=False)
SEATS_HELP = (
    f"{INPUT_HELP} 'join' keeps a place for a chanter on another machine. Repeat it for a class, each with the "
    "player's name: 'Ailsa=my chanter'."
)


def log_format(environment: Mapping[str, str]) -> str:
    """The format of a line of the log; the journal, which sets ``JOURNAL_STREAM``, adds the time itself."""
    return "%(message)s" if "JOURNAL_STREAM" in environment else "%(asctime)s %(message)s"


@app.command(cls=NetworkCommand)
def serve(
    source: Annotated[list[str] | None, typer.Option("--input", metavar="[NAME=]INPUT", help=SEATS_HELP)] = None,
    port: Annotated[str, typer.Option(metavar="N", help="Port of this machine; 0 takes any free one.")] = str(PORT),
    data: DataFolder = None,
    store: StoreUrl = None,
    lan: Lan = None,
    tls_cert: TlsCert = None,
    tls_key: TlsKey = None,
    *,
    tls_self_signed: TlsSelfSigned = False,
    no_open: Annotated[bool, typer.Option("--no-open", help="Do not open the page in a browser.")] = False,
) -> None:
    """Listen to a chanter and serve the page."""
    logging.basicConfig(level=logging.INFO, format=log_format(os.environ), datefmt="%Y-%m-%d %H:%M:%S")
    folder, number = data_folder(data, to_write=True), port_number(port)
    seats = names_and_inputs(source or [DEMO])
    opened = [open_input(words, seed=number) for number, (_, words) in enumerate(seats, 1)]
    network = network_from(lan, folder, tls_cert, tls_key, made_here=tls_self_signed)
    listened = " and ".join(f"'{one.name}'" for one in opened)
    starting = ExitStack()

    def say(page: str) -> None:
        starting.close()
        typer.echo(f"chanterd listens to {listened}. Open {page} and press the space bar. Ctrl-C stops it.")
        typer.echo("Take a break every half hour, stop if it hurts, and keep the click quieter than the chanter.")

    def begin(daemon: Daemon, _: Callable[[], None]) -> None:
        if network is not None:
            announce(daemon)

    with starting:
        starting.enter_context(collector_paused())
        names = [name for name, _ in seats]
        serve_forever(
            opened,
            folder,
            number,
            say,
            open_page=not no_open,
            begin=begin,
            store=store,
            names=names,
            network=network,
            announce=announce_again,
        )
