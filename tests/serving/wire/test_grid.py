"""The click as a page needs it: strict, so that a page can trust each member."""

import pytest
from pydantic import TypeAdapter, ValidationError

from chanterd.serving.wire.grid import GridShown

WHOLE = {
    "beat0_ns": 1,
    "click_bpm": 60.0,
    "count_in": 4,
    "clicks_per_rep": 2,
    "ornament_beat": 1,
    "click_off": False,
}


def test_no_member_but_those_that_are_named() -> None:
    """And none of them missing."""
    check = TypeAdapter(GridShown)
    assert check.validate_python(WHOLE) == WHOLE
    for wrong in ({**WHOLE, "tempo": 60}, {name: one for name, one in WHOLE.items() if name != "count_in"}):
        with pytest.raises(ValidationError):
            check.validate_python(wrong)
