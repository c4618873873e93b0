"""Where the daemon can be reached. The addresses of the examples are those for documentation (RFC 5737, RFC 3849)."""

import ipaddress
import socket

import pytest

from chanterd.config import ChanterdError
from chanterd.serving.access.listeners import (
    Listener,
    addresses_of_this_machine,
    chosen_addresses,
    listener_of,
    on_this_machine,
)

THERE = ["192.0.2.7", "2001:db8::7"]


def test_all_addresses_or_the_one_that_is_named() -> None:
    """An address need not be one that is there now: whether it can be had, the system says."""
    assert chosen_addresses("all", THERE) == THERE
    assert chosen_addresses(" 192.0.2.7 ", THERE) == ["192.0.2.7"]
    assert chosen_addresses("[2001:DB8::7]", THERE) == ["2001:db8::7"]
    assert chosen_addresses("127.0.0.2", []) == ["127.0.0.2"]


@pytest.mark.parametrize(
    "words",
    ["", "0.0.0.0", "::", "127.0.0.1", "my-laptop", "192.0.2", "192.0.2.7:80", "224.0.0.1"],  # noqa: S104 - it is refused
)
def test_anything_else_is_refused_with_an_address_that_would_do(words: str) -> None:
    """Also all addresses at once, through which nobody could say how a request arrived."""
    with pytest.raises(ChanterdError, match=r"The address --lan is .*; it must be .*, such as 192\.0\.2\.7\. Leave"):
        chosen_addresses(words, THERE)


def test_a_machine_without_a_network_has_none_yet() -> None:
    """One that appears later is used then."""
    assert chosen_addresses("all", []) == []


def test_the_addresses_of_this_machine_can_be_bound_and_lead_from_elsewhere() -> None:
    """None is this machine's own, none needs a zone; whatever is listed can be listened at."""
    for address in addresses_of_this_machine():
        assert not ipaddress.ip_address(address).is_loopback
        with socket.socket(socket.AF_INET6 if ":" in address else socket.AF_INET) as tried:
            tried.bind((address, 0))


def test_host_names_as_a_browser_writes_them() -> None:
    """An IPv6 address in brackets (RFC 3986 section 3.2.2); the usual port may be left out."""
    assert Listener("192.0.2.7", 8437).hosts == ("192.0.2.7:8437",)
    assert Listener("2001:db8::7", 8437, tls=True).page == "https://[2001:db8::7]:8437/"
    assert Listener("192.0.2.7", 443, tls=True).hosts == ("192.0.2.7:443", "192.0.2.7")
    assert Listener("192.0.2.7", 443).hosts == ("192.0.2.7:443",)
    assert on_this_machine(80).hosts == ("127.0.0.1:80", "localhost:80", "127.0.0.1", "localhost")


def test_what_is_not_marked_arrived_on_this_machine() -> None:
    """And needs no code."""
    assert listener_of({}) is None
    assert not on_this_machine(8437).needs_code
    assert Listener("192.0.2.7", 8437).needs_code
