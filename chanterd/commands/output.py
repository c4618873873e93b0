"""What cannot be printed: one sentence about it, and no second complaint as the program ends."""

import errno
import os
import sys

NO_ROOM = frozenset({errno.ENOSPC, errno.EDQUOT, errno.EFBIG, errno.EIO})
"""Errors of a full or broken disk (POSIX)."""


def why_not_printed(error: OSError) -> str | None:
    """The sentence, if the error says that standard output cannot be written; None if it says anything else.

    Errors about a file name that file, and those about standard output name none.
    """
    if error.filename is not None or error.errno not in NO_ROOM:
        return None
    _drop_output()
    return f"The output cannot be written ({error.strerror}). Is the disk full?"


def _drop_output() -> None:
    """Throw away what waits to be printed: Python would try again as it ends, and fail again."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, sys.stdout.fileno())
    os.close(nowhere)
