"""The garbage collector is paused, and goes on afterwards as it was."""

import gc

import pytest

from chanterd.commands.collector import collector_paused


def interrupted_while_paused() -> None:
    """As by Ctrl-C."""
    with collector_paused():
        assert not gc.isenabled()
        raise KeyboardInterrupt


def test_the_collector_goes_on_afterwards_whatever_happens() -> None:
    """It is off inside; after an error it is on again; one that was off stays off."""
    with pytest.raises(KeyboardInterrupt):
        interrupted_while_paused()
    assert gc.isenabled()
    with collector_paused():
        with collector_paused():
            pass
        assert not gc.isenabled()
