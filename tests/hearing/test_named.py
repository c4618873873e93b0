"""Inputs with the name of whoever plays."""

import pytest

from chanterd.config import ChanterdError
from chanterd.hearing.named import MOST_SEATS, names_and_inputs


@pytest.mark.parametrize(
    ("words", "name", "port"),
    [
        ("my chanter", None, "my chanter"),
        ("Ailsa=my chanter", "Ailsa", "my chanter"),
        (" Ailsa Bee = my chanter ", "Ailsa Bee", "my chanter"),
        ("Bram=demo", "Bram", "demo"),
        ("Rory=raw:/dev/midi1", "Rory", "raw:/dev/midi1"),
        ("raw:/tmp/a=b", None, "raw:/tmp/a=b"),
        ("/home/me/take=1.mid", None, "/home/me/take=1.mid"),
        ("Ailsa=port=2", "Ailsa", "port=2"),
    ],
)
def test_a_name_comes_before_the_sign(words: str, name: str | None, port: str) -> None:
    """And may be left out; what has a slash or a colon before the sign is a path."""
    assert names_and_inputs([words]) == [(name, port)]


def test_nobody_sits_at_two_places() -> None:
    """Whatever the capitals."""
    with pytest.raises(ChanterdError, match="'ailsa' is given to two inputs"):
        names_and_inputs(["Ailsa=demo", "AILSA=demo"])


def test_a_room_has_a_limit_of_places() -> None:
    """What one machine serves."""
    assert len(names_and_inputs(["demo"] * MOST_SEATS)) == MOST_SEATS
    with pytest.raises(ChanterdError, match="40 places at most"):
        names_and_inputs(["demo"] * (MOST_SEATS + 1))
