"""A tune as it was played, as plain data: what is printed fits its types."""

import pytest
from pydantic import TypeAdapter

from chanterd.practice.tune_run import TunePlayed
from tests.bench.tune_performances import CONDITIONS, sample


@pytest.mark.parametrize("condition", ["clean", "all mixed"])
def test_what_a_run_finds_fits_the_shapes(condition: str) -> None:
    """Names and types, nothing more and nothing less."""
    found = sample("seven-gulls", CONDITIONS[condition], 23).run().found()
    assert TypeAdapter(TunePlayed).validate_python(found, strict=True) == found
