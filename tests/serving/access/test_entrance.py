"""Entering with a code over the network."""

import pytest

from chanterd.music.units import Ns
from chanterd.serving.access.entrance import Entrance, LockedError
from chanterd.serving.access.grants import AT_THIS_MACHINE, WALL, Grant, Role
from chanterd.serving.access.listeners import Listener
from chanterd.serving.access.lockout import FROM_ONE, WINDOW_NS

CLASS = Entrance(listeners=(Listener("192.0.2.7", 8437), Listener("2001:db8::7", 8437)))


def test_each_part_has_an_address_that_leads_straight_in() -> None:
    """Desk, wall and every seat; the code in each opens just that."""
    ways = dict(CLASS.ways_in(["1", "2"]))
    assert list(ways) == ["desk", "wall", "seat 1", "seat 2"]
    for grant, way in zip(
        (AT_THIS_MACHINE, WALL, Grant(Role.SEAT, "1"), Grant(Role.SEAT, "2")), ways.values(), strict=True
    ):
        page, code = way.split("?code=")
        assert page == "http://192.0.2.7:8437/enter"
        token = CLASS.enter(code, "192.0.2.99", Ns(0))
        assert CLASS.grants.of(token) == grant


def test_without_a_network_there_is_no_way_in() -> None:
    """Nothing is printed, and no code is made up."""
    assert not list(Entrance().ways_in(["1"]))


def test_while_locked_even_the_right_code_is_not_looked_at() -> None:
    """Otherwise a guesser would see which one it was."""
    entrance = Entrance(listeners=CLASS.listeners)
    code = entrance.grants.code_of(WALL)
    for _ in range(FROM_ONE):
        assert entrance.enter("0000-0000-00000", "192.0.2.9", Ns(0)) is None
    with pytest.raises(LockedError):
        entrance.enter(code, "192.0.2.9", Ns(1))
    assert entrance.enter(code, "192.0.2.8", Ns(1)) is not None
    assert entrance.enter(code, "192.0.2.9", Ns(WINDOW_NS + 1)) is not None


def test_right_codes_do_not_count_as_guesses() -> None:
    """A class of forty behind one address may enter at once."""
    entrance = Entrance(listeners=CLASS.listeners)
    code = entrance.grants.code_of(WALL)
    assert all(entrance.enter(code, "192.0.2.9", Ns(0)) for _ in range(200))
