"""What is wrong with a command line, in the project's own words."""

import re
from typing import Any

import typer

from chanterd.config import did_you_mean
from chanterd.progress.words import lowered

UsageError: type[Exception] = typer.BadParameter.__mro__[1]
"""What the parser raises for a command line it does not understand; where it is defined depends on typer's version."""


def in_our_words(error: Exception) -> str:
    """What is wrong with the command line and how to mend it, in a sentence or two.

    Anything not recognised here keeps the parser's own words.
    """
    refused: Any = error  # its attributes are the parser's own, and not typed in every version of typer
    command = refused.ctx.command_path if refused.ctx else "chanterd"
    see = f"See '{command} --help'."
    match type(error).__name__:
        case "MissingParameter":
            option = refused.param.param_type_name == "option"
            name = refused.param.opts[0] if option else refused.param.metavar
            return f"'{command}' needs {name}: {lowered(str(refused.param.help))} {see}"
        case "NoSuchOption":
            known = [name for param in refused.ctx.command.params for name in param.opts if name.startswith("--")]
            guess = did_you_mean(refused.option_name, known)
            return f"'{command}' has no option {refused.option_name}.{guess} {see}"
        case "BadOptionUsage":
            without = "does not take a value" in refused.message
            return (
                f"{refused.option_name} takes no value. {see}"
                if without
                else f"{refused.option_name} needs a value after it."
            )
    said = str(refused.message)
    if too_many := re.search(r"unexpected extra argument\S* \((.*)\)$", said):
        if any(param.param_type_name == "argument" for param in refused.ctx.command.params):
            return f"'{command}' has no use for '{too_many[1]}'. Put quotes around words that belong together."
        return f"'{command}' has no use for '{too_many[1]}' by itself: what you mean goes behind an option. {see}"
    if said.startswith("No such command"):
        name = said.split("'")[1] if "'" in said else ""
        commands = [str(command) for command in refused.ctx.command.commands]
        return f"There is no command '{name}'.{did_you_mean(name, commands)} The commands are: {', '.join(commands)}."
    return f"{' '.join(refused.format_message().split())} {see}"
