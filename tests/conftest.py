"""Fixtures that more than one room of tests needs."""

from collections.abc import Iterator

import pytest
from hypothesis import settings

from tests.jack import JackServer, VirtualChanter

# A property is no timed test: a busy machine may take longer over an example.
settings.register_profile("chanterd", deadline=None)
settings.load_profile("chanterd")


@pytest.fixture(scope="session")
def jack_server() -> Iterator[JackServer]:
    """A JACK server for the whole session; its ``env`` is for subprocesses, this process is pointed at it already."""
    with JackServer() as server:
        yield server


@pytest.fixture
def virtual_chanter(jack_server: JackServer) -> Iterator[VirtualChanter]:
    """A chanter in another process, plugged into that server; ``--input`` takes its ``port``."""
    assert jack_server.name
    with VirtualChanter() as chanter:
        yield chanter
