"""``chanterd inputs``: lists what chanterd can listen to."""

import typer

from chanterd.hearing.driver import no_driver
from chanterd.hearing.inputs import HELP as INPUT_HELP
from chanterd.hearing.ports import list_ports

app = typer.Typer(add_completion=False)


@app.command()
def inputs() -> None:
    """List the MIDI ports that chanterd can listen to."""
    ports = list_ports()
    for port in ports:
        typer.echo(f"{port.name}  ({port.api})")
    if not ports:
        typer.echo(no_driver())
    typer.echo(f"demo  (a simulated player)\n{INPUT_HELP}")
