"""Which ports offer themselves as a seat."""

import pytest

from chanterd.hearing.ports import PortName
from chanterd.serving.seats.offers import offered

PORTS = [
    PortName("ALSA", name)
    for name in ("Midi Through Port-0 14:0", "Kitchen chanter 20:0", "Kitchen chanter 24:0", "Blue 28:0")
]


@pytest.mark.parametrize(
    ("listened", "free"),
    [
        (["demo"], ["Kitchen chanter 20:0", "Kitchen chanter 24:0", "Blue 28:0"]),
        (["Kitchen chanter 20:0", "Blue 28:0"], ["Kitchen chanter 24:0"]),
        (["blue"], ["Kitchen chanter 20:0", "Kitchen chanter 24:0"]),
        (["kitchen"], ["Kitchen chanter 20:0", "Kitchen chanter 24:0", "Blue 28:0"]),
        (["Kitchen chanter 20:0", "kitchen"], ["Blue 28:0"]),
        (["Blue 99:0"], ["Kitchen chanter 20:0", "Kitchen chanter 24:0"]),
    ],
)
def test_what_no_seat_has_or_waits_for_is_free(listened: list[str], free: list[str]) -> None:
    """Also what a seat waits for that was plugged in again elsewhere; a loop-back of the system never is."""
    assert [port.name for port in offered(PORTS, listened)] == free
