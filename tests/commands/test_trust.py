"""Trust in a class whose certificate was made there, by its fingerprint; the certificates and the links are real."""

import datetime as dt
import re
import ssl
from collections.abc import Iterator
from pathlib import Path

import pytest

from chanterd.commands.class_link import enter
from chanterd.commands.trust import not_trusted, trusted_at
from chanterd.config import ChanterdError
from chanterd.hearing.simulated import DemoSource
from chanterd.serving.access.address_watch import Network
from chanterd.serving.access.grants import Grant, Role
from chanterd.serving.access.tls import fingerprint, self_signed, tls_context
from tests.serving.running_daemon import served

LAN = "127.0.0.2"


@pytest.fixture
def safe(tmp_path: Path) -> Iterator[tuple[str, str, str]]:
    """The page, the code and the fingerprint of a class with a certificate of its own, made for another address."""
    files = self_signed(tmp_path, ["192.0.2.7"], dt.datetime.now(dt.UTC))
    shown = fingerprint(files.certificate)
    with served(tmp_path, [DemoSource(1)], Network([LAN], tls_context(files), shown)) as (_, daemon):
        yield daemon.entrance.listeners[0].page, daemon.entrance.grants.code_of(Grant(Role.SEAT, "1")), shown


def test_a_class_is_trusted_by_its_fingerprint(safe: tuple[str, str, str]) -> None:
    """With colons or without, whatever names are in the certificate."""
    page, code, shown = safe
    for typed in (shown, shown.replace(":", "").lower(), f" {shown} "):
        assert enter(page, code, trusted_at(page, None, typed)).cookie


def test_without_it_the_class_is_not_trusted_and_the_way_to_is_said(safe: tuple[str, str, str]) -> None:
    """With the fingerprint that it shows, to be compared."""
    page, code, shown = safe
    with pytest.raises(ChanterdError, match=re.escape(f"Its fingerprint is {shown}. If the class shows the same one")):
        enter(page, code, trusted_at(page, None, None))
    assert shown in not_trusted(page)


def test_another_certificate_is_refused(safe: tuple[str, str, str]) -> None:
    """Somebody else may answer there."""
    page, _, shown = safe
    other = ("0" if shown[0] != "0" else "1") + shown[1:]
    with pytest.raises(ChanterdError, match="which is another one"):
        trusted_at(page, None, other)


@pytest.mark.parametrize(
    ("page", "typed", "said"),
    [
        ("https://127.0.0.2:1/", "AB:CD", "must be 64 digits from 0 to F"),
        ("http://127.0.0.2:1/", "AB" * 32, "must begin with https://"),
        ("https://127.0.0.2:1/", "AB" * 32, "cannot be reached"),
    ],
)
def test_what_cannot_be_used_is_said(page: str, typed: str, said: str) -> None:
    """In a sentence."""
    with pytest.raises(ChanterdError, match=said):
        trusted_at(page, None, typed)


def test_without_tls_nothing_is_to_be_trusted(tmp_path: Path) -> None:
    """And a file that is none is refused."""
    assert trusted_at("http://127.0.0.2:1/", None, None) is None
    assert isinstance(trusted_at("https://127.0.0.2:1/", None, None), ssl.SSLContext)
    with pytest.raises(ChanterdError, match="give a PEM file"):
        trusted_at("https://127.0.0.2:1/", tmp_path / "none.pem", None)
