"""The command line: which commands there are. Each has its own module, which loads only when it is called."""

import atexit
import gc
import os
import sys
from importlib import import_module
from typing import Any

import typer
from typer.core import TyperCommand, TyperGroup

from chanterd.commands.collector import collector_paused
from chanterd.commands.output import why_not_printed
from chanterd.commands.refusals import UsageError, in_our_words
from chanterd.config import ChanterdError

SUMMARIES = {
    "serve": "Listen to a chanter and serve the page.",
    "demo": "Try a class without chanters: simulated players, with wall and desk.",
    "join": "Play along in a class on another machine.",
    "assess": "Assess a take: how early or late, how long, how clean.",
    "listen": "Say what was played in a take: passages, ornaments, and how they went.",
    "inputs": "List the MIDI ports that chanterd can listen to.",
    "learn": "Learn an unknown chanter: play the scale once, from low G to high A.",
    "drills": "List the ornaments of the book, or the drills that the words choose.",
    "tune": "Name every ornament in a tune, with its bar and beat.",
    "sheet": "Make sheets of drills for the music stand, as PDF, SVG or MusicXML.",
    "practise": "Play through a plan: drills and passages of tunes, warm-up first, with breaks.",
    "report": "Make a PDF report of a player's practice, to hand out.",
    "service": "Print a systemd unit file that runs chanterd as a service.",
    "version": "Print the version.",
    "history": "Your practice history: list, show, export, import, delete.",
}
"""Every command in the order of the help, with its summary; its module has the same name."""

BAD_INPUT = 2
"""Exit code for a request that cannot be carried out."""
INTERRUPTED = 130
"""Exit code after Ctrl-C, as in a shell."""
NO_PLUGINS = ("PYDANTIC_DISABLE_PLUGINS", "__all__")
"""Pydantic would read at every start what all packages that are installed say of themselves, in search of plugins."""


def load_command(name: str) -> Any:  # noqa: ANN401 - the parser's own type, which moved between versions of typer
    """The parser of a command, from its module."""
    with collector_paused():
        command = typer.main.get_command(import_module(f"chanterd.commands.{name}").app)
    command.name = name
    return command


class CommandLine(TyperGroup):
    """All commands with their summaries; only the one that is called loads, so none waits for another's imports."""

    def __init__(self) -> None:
        """Make the group, without loading any command."""
        super().__init__(
            name="chanterd",
            help="Listens to an electronic practice chanter and shows how early or late each step of an ornament was.",
            commands={name: TyperCommand(name, callback=None, help=said) for name, said in SUMMARIES.items()},
        )

    def resolve_command(self, ctx: Any, args: list[str]) -> tuple[str | None, Any, list[str]]:  # noqa: ANN401
        """The command that is called, and the rest of the line."""
        name, found, rest = super().resolve_command(ctx, args)
        return name, found if name is None else load_command(name), rest


def main() -> None:
    """Run the command line; a mistake that the user can mend goes to stderr in a line or more, with exit code 2."""
    os.environ.setdefault(*NO_PLUGINS)
    atexit.register(gc.freeze)  # otherwise the interpreter would search an hour of reps for garbage before it ends
    try:
        sys.exit(CommandLine().main(sys.argv[1:] or ["--help"], prog_name="chanterd", standalone_mode=False))
    except ChanterdError as error:
        said = str(error)
    except UsageError as error:
        said = in_our_words(error)
    except OSError as error:
        why = why_not_printed(error)
        if why is None:
            raise
        said = why
    except (KeyboardInterrupt, typer.Abort):
        sys.exit(INTERRUPTED)
    for line in said.splitlines():
        typer.echo(f"chanterd: {line}", err=True)
    sys.exit(BAD_INPUT)


if __name__ == "__main__":
    main()
