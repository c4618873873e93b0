"""Two chanters of one model, and who listens to which."""

import pytest

from chanterd.hearing.claims import Claims

FIRST, SECOND, THIRD = "Kitchen chanter 20:0", "Kitchen chanter 24:0", "Kitchen chanter 28:0"


@pytest.fixture
def claims() -> Claims:
    """Two seats that look for the same words."""
    made = Claims()
    made.join("Ailsa", "kitchen chanter")
    made.join("Bram", "Kitchen Chanter")
    return made


def test_seats_that_look_for_the_same_words_take_the_ports_in_turn(claims: Claims) -> None:
    """Whoever looks first: the first seat gets the first port, the second the second."""
    assert claims.take("Bram", [FIRST]) is None
    assert claims.take("Bram", [FIRST, SECOND]) == SECOND
    assert claims.take("Ailsa", [FIRST]) == FIRST
    assert claims.taken("Ailsa") == {SECOND}


def test_a_port_stays_its_seats_while_it_is_unplugged(claims: Claims) -> None:
    """The other one that comes back first does not slip into its place."""
    claims.take("Ailsa", [FIRST, SECOND])
    claims.take("Bram", [SECOND])
    claims.gone("Ailsa")
    claims.gone("Bram")
    assert claims.take("Ailsa", [SECOND]) is None
    assert claims.take("Bram", [SECOND]) == SECOND
    assert claims.take("Ailsa", [FIRST]) == FIRST


def test_all_of_a_model_come_back_under_new_numbers(claims: Claims) -> None:
    """A hub was unplugged: they are given out in turn, and nobody waits for ever."""
    claims.take("Ailsa", [FIRST, SECOND])
    claims.take("Bram", [SECOND])
    claims.gone("Ailsa")
    claims.gone("Bram")
    assert claims.take("Bram", [THIRD, "Kitchen chanter 32:0"]) == "Kitchen chanter 32:0"
    assert claims.take("Ailsa", [THIRD]) == THIRD


def test_one_seat_alone_does_not_choose_among_several() -> None:
    """Its words fit two ports: the player says which."""
    claims = Claims()
    claims.join("Ailsa", "chanter")
    assert claims.take("Ailsa", [FIRST, SECOND]) is None
    assert claims.take("Ailsa", [SECOND]) == SECOND


def test_a_seat_that_is_no_more_has_no_port(claims: Claims) -> None:
    """Its port is free for the others, and a late word of its thread changes nothing."""
    claims.take("Ailsa", [FIRST])
    claims.leave("Ailsa")
    claims.gone("Ailsa")
    assert claims.taken("Bram") == frozenset()
    assert claims.take("Bram", [FIRST]) == FIRST
