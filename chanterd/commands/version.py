"""``chanterd version``."""

import typer

from chanterd import __version__

app = typer.Typer(add_completion=False)


@app.command()
def version() -> None:
    """Print the version."""
    typer.echo(__version__)
