"""``chanterd demo``: a class of simulated players, with its wall, to try all of it without a chanter."""

import logging
import os
from collections.abc import Callable
from typing import Annotated

import typer

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
from chanterd.commands.options import (
    PORT,
    DataFolder,
    StoreUrl,
    data_folder,
    number_or_words,
    port_number,
    whole_number,
)
from chanterd.commands.serve import log_format
from chanterd.hearing.habits import CLASS
from chanterd.hearing.named import MOST_SEATS
from chanterd.hearing.simulated import DemoSource
from chanterd.practice.exercise import ExerciseWords, resolve
from chanterd.serving.daemon import Daemon
from chanterd.serving.server import serve as serve_forever

app = typer.Typer(add_completion=False)
USUAL_SEATS = 12


@app.command(cls=NetworkCommand)
def demo(
    seats: Annotated[str, typer.Option(metavar="N", help="How many simulated players.")] = str(USUAL_SEATS),
    drill: Annotated[str, typer.Option(metavar="WORDS", help="What they play.")] = "grip from B to C",
    click: Annotated[str, typer.Option(metavar="BPM", help="Clicks a minute.")] = "76",
    port: Annotated[str, typer.Option(metavar="N", help="Port of this machine; 0 takes any free one.")] = str(PORT),
    data: DataFolder = None,
    store: StoreUrl = None,
    lan: Lan = None,
    tls_cert: TlsCert = None,
    tls_key: TlsKey = None,
    *,
    tls_self_signed: TlsSelfSigned = False,
    no_open: Annotated[bool, typer.Option("--no-open", help="Do not open the pages in a browser.")] = False,
) -> None:
    """Try a class without chanters: simulated players, with wall and desk."""
    logging.basicConfig(level=logging.INFO, format=log_format(os.environ), datefmt="%Y-%m-%d %H:%M:%S")
    count = whole_number("number of seats --seats", seats, 1, MOST_SEATS, USUAL_SEATS)
    folder, number = data_folder(data, to_write=True), port_number(port)
    network = network_from(lan, folder, tls_cert, tls_key, made_here=tls_self_signed)
    words = ExerciseWords(drill, number_or_words(click))
    players = [CLASS[place % len(CLASS)] for place in range(count)]
    rounds = (count - 1) // len(CLASS) + 1
    names = [name if rounds == 1 else f"{name} {place // len(CLASS) + 1}" for place, (name, _) in enumerate(players)]
    sources = [
        DemoSource(seed, habits, f"simulated {name}")
        for seed, (name, (_, habits)) in enumerate(zip(names, players, strict=True), 1)
    ]

    def say(page: str) -> None:
        typer.echo(
            f"A class of {count} simulated players is at {page} with desk and wall at {page}desk/ and {page}wall/"
        )
        typer.echo("Ctrl-C stops it. Keep the click quieter than the chanters, above all in headphones.")

    def begin(daemon: Daemon, _: Callable[[], None]) -> None:
        daemon.classroom.begin(resolve(words, daemon.tables))
        if network is not None:
            announce(daemon)

    serve_forever(
        sources,
        folder,
        number,
        say,
        open_page=not no_open,
        begin=begin,
        store=store,
        names=names,
        pages=("wall/", "desk/"),
        network=network,
        announce=announce_again,
    )
