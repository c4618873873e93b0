"""Which errors say that standard output cannot be written."""

import errno

from chanterd.commands.output import why_not_printed


def test_an_error_about_a_file_or_of_another_kind_is_not_about_the_output() -> None:
    """A full disk under a file names that file; a port that is taken has nothing to do with a disk."""
    assert why_not_printed(OSError(errno.ENOSPC, "No space left on device", "sheet.pdf")) is None
    assert why_not_printed(OSError(errno.EADDRINUSE, "Address already in use")) is None
