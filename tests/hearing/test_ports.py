"""Which port a text means, among names as Linux, macOS and Windows give them."""

import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chanterd.hearing import ports as ports_module
from chanterd.hearing.driver import Api
from chanterd.hearing.ports import AmbiguousPortError, Clients, PortName, find_port, list_ports
from tests.jack_server import VirtualChanter

THROUGH = PortName("ALSA", "Midi Through:Midi Through Port-0 14:0")
BLUE = PortName("ALSA", "Blue Chanter:Blue Chanter MIDI 1 20:0")
RED = PortName("ALSA", "Red Chanter:Red Chanter MIDI 1 24:0")
BRIDGED = PortName("JACK", "bridge:Blue Chanter (capture)")
PORTS = [THROUGH, BLUE, RED, BRIDGED]


@pytest.mark.parametrize(
    ("asked", "port"),
    [
        ("blue", BLUE),
        ("RED CHANTER", RED),
        ("capture", BRIDGED),
        (THROUGH.name, THROUGH),
        ("Blue Chanter:Blue Chanter MIDI 1 32:0", BLUE),
        ("green", None),
    ],
)
def test_a_unique_part_is_enough(asked: str, port: PortName | None) -> None:
    """Case is ignored, the system's own port comes before a bridged one, and its numbers may have changed."""
    assert find_port(asked, PORTS) == port


def test_what_fits_two_ports_is_refused_with_both_named() -> None:
    """The sentence names what was asked and every port that fits, so that the user can pick."""
    with pytest.raises(AmbiguousPortError, match=r"'chanter' fits 2 MIDI ports.*Blue.*Red") as caught:
        find_port("chanter", PORTS)
    assert "Through" not in str(caught.value)
    assert str(caught.value).endswith(".")


def test_a_whole_name_is_not_a_part_of_others() -> None:
    """A port whose name begins another's can still be asked for."""
    short, long = PortName("CoreMIDI", "Chanter"), PortName("CoreMIDI", "Chanter two")
    assert find_port("chanter", [long, short]) == short


def test_numbered_twins_keep_different_names() -> None:
    """WinMM puts a number behind each name: it counts where somebody types it, and is needed where they did not."""
    twins = [PortName("WinMM", "USB chanter 0"), PortName("WinMM", "USB chanter 1")]
    assert find_port("USB chanter 1", twins) == twins[1]
    with pytest.raises(AmbiguousPortError):
        find_port("USB chanter", twins)


@given(st.lists(st.text(min_size=1), min_size=1, unique_by=str.casefold))
def test_every_port_can_be_chosen_by_its_name(names: list[str]) -> None:
    """Whatever ports are called, each one's own name finds it."""
    ports = [PortName("ALSA", name) for name in names]
    assert [find_port(port.name, ports) for port in ports] == ports


class FakeClient:
    """A client that shows these ports."""

    def __init__(self, *names: str) -> None:
        self.names = list(names)
        self.closed = False

    def ports(self) -> list[str]:
        """As set."""
        return self.names

    def close(self) -> None:
        """Remember it."""
        self.closed = True


def test_a_client_is_kept_while_it_shows_ports_and_renewed_when_it_shows_none(monkeypatch: pytest.MonkeyPatch) -> None:
    """After a sound server was restarted its old client shows nothing for ever, and a new one is taken."""
    made = [FakeClient("chanter"), FakeClient("chanter after the restart")]
    waiting = iter(made)

    def open_client(api: Api) -> FakeClient:
        if api.name != "JACK":
            raise OSError("no such driver here")
        return next(waiting)

    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setattr(ports_module, "open_client", open_client)
    monkeypatch.setattr(ports_module, "RETRY_NS", 0)
    clients = Clients()
    for _ in range(3):
        assert [place.port.name for place in clients.look()] == ["chanter"]
    made[0].names = []
    assert [place.port.name for place in clients.look()] == ["chanter after the restart"]
    assert [client.closed for client in made] == [True, False]


def test_a_chanter_that_is_plugged_in_is_listed(virtual_chanter: VirtualChanter) -> None:
    """The list shows real ports as they come and go."""
    port = PortName("JACK", virtual_chanter.port)
    assert port in list_ports()
    virtual_chanter.unplug()
    assert port not in list_ports()
