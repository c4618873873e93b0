"""``python -m chanterd``: the command line. A bare checkout sets itself up first; unasked, it plays the demo."""

from __future__ import annotations

import sys

from chanterd import bootstrap


def main() -> None:
    """Set up if need be, then hand over to the command line."""
    try:
        bootstrap.enter("chanterd")
    except bootstrap.SetUpError as error:
        sys.exit(str(error))
    except KeyboardInterrupt:
        sys.exit("Stopped before set-up was done. Run the same command again to start over.")
    if bootstrap.in_checkout() and len(sys.argv) == 1:
        sys.argv += ["serve", "--input", "demo"]

    from chanterd.commands.main import main as command_line  # noqa: PLC0415  it needs what set-up has installed

    command_line()


if __name__ == "__main__":
    main()
