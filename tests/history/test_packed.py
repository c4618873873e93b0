"""JSON in a column: packed small, and the same when it comes back."""

import json

from sqlalchemy.dialects import sqlite

from chanterd.history.packed import PackedJson, pack
from tests.history.practised_runs import GRIP, judged


def test_a_judged_rep_comes_back_as_it_was_and_takes_a_fraction_of_the_room() -> None:
    """Numbers to the last digit; less than half of the JSON's bytes."""
    (result,) = judged(GRIP, [3.1])
    column, dialect = PackedJson(), sqlite.dialect()
    kept = column.process_bind_param(result, dialect)
    assert kept == pack(result)
    assert column.process_result_value(kept, dialect) == result
    assert len(kept) < len(json.dumps(result)) / 2


def test_nothing_stays_nothing() -> None:
    """NULL is NULL."""
    column, dialect = PackedJson(), sqlite.dialect()
    assert column.process_bind_param(None, dialect) is None
    assert column.process_result_value(None, dialect) is None
