"""Python's garbage collector, paused while everything that is made is kept."""

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def collector_paused() -> Iterator[None]:
    """Leave out the search for garbage in cycles: while modules load, or a take is read, nearly nothing is garbage.

    Each search goes through all that there is; together they take a tenth of the time.
    """
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()
