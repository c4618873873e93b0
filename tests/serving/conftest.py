"""A daemon at rest with one hand-played chanter, for the tests of this room."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.serving.played_seat import Sitting


@pytest.fixture
def sitting(tmp_path: Path) -> Iterator[Sitting]:
    """A started daemon whose only player is played by hand; its clock is turned by the test."""
    with Sitting(tmp_path) as sitting:
        yield sitting
