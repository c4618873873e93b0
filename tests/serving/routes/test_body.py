"""What many routes take alike."""

import pytest
from pydantic import ValidationError

from chanterd.serving.routes.body import AtSeat


def test_the_chanter_may_be_left_out_and_nothing_may_be_added() -> None:
    """A slip in a field's name is not passed over in silence."""
    assert AtSeat.model_validate({}).seat is None
    with pytest.raises(ValidationError, match="seet"):
        AtSeat.model_validate({"seet": "1"})
