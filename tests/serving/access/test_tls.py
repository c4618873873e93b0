"""TLS over the network. The certificate is checked by Python's own ssl module as a client, as a browser would."""

import datetime as dt
import socket
import ssl
import stat
import threading
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.hazmat.primitives import hashes

from chanterd.config import ChanterdError
from chanterd.serving.access.tls import Certificate, fingerprint, self_signed, tls_context

NOW = dt.datetime.now(dt.UTC)
ADDRESSES = ["192.0.2.7", "2001:db8::7"]


def shake_hands(files: Certificate, name: str) -> None:
    """A client that trusts this certificate alone reaches a server by that name."""
    trusting = ssl.create_default_context(cafile=files.certificate)
    ours, theirs = socket.socketpair()

    def serve() -> None:
        try:
            tls_context(files).wrap_socket(theirs, server_side=True).close()
        except OSError:
            theirs.close()

    thread = threading.Thread(target=serve)
    thread.start()
    try:
        trusting.wrap_socket(ours, server_hostname=name).close()
    finally:
        ours.close()
        thread.join()


def test_a_client_that_accepts_it_is_sure_of_every_address(tmp_path: Path) -> None:
    """Of those of this machine, and of no other."""
    files = self_signed(tmp_path, ADDRESSES, NOW)
    for address in ADDRESSES:
        shake_hands(files, address)
    with pytest.raises(ssl.SSLCertVerificationError):
        shake_hands(files, "192.0.2.8")


def test_it_is_kept_from_one_start_to_the_next(tmp_path: Path) -> None:
    """Whoever accepted it need not do so again, until it nears its end or the machine has another address."""
    first = self_signed(tmp_path, ADDRESSES, NOW).certificate.read_bytes()
    assert self_signed(tmp_path, ADDRESSES[:1], NOW).certificate.read_bytes() == first
    assert self_signed(tmp_path, ["192.0.2.8"], NOW).certificate.read_bytes() != first
    second = (tmp_path / "tls-certificate.pem").read_bytes()
    assert self_signed(tmp_path, ["192.0.2.8"], NOW + dt.timedelta(days=340)).certificate.read_bytes() != second


def test_a_damaged_one_is_made_again(tmp_path: Path) -> None:
    """As is one whose key is gone."""
    files = self_signed(tmp_path, ADDRESSES, NOW)
    files.certificate.write_text("half")
    shake_hands(self_signed(tmp_path, ADDRESSES, NOW), ADDRESSES[0])
    files.key.unlink()
    shake_hands(self_signed(tmp_path, ADDRESSES, NOW), ADDRESSES[0])


def test_the_key_is_its_owners_only(tmp_path: Path) -> None:
    """Whoever has it can pass for this machine."""
    assert stat.S_IMODE(self_signed(tmp_path, ADDRESSES, NOW).key.stat().st_mode) == 0o600


def test_the_fingerprint_is_the_one_that_others_compute(tmp_path: Path) -> None:
    """The cryptography library's own digest of the certificate."""
    path = self_signed(tmp_path, ADDRESSES, NOW).certificate
    theirs = x509.load_pem_x509_certificate(path.read_bytes()).fingerprint(hashes.SHA256())
    assert fingerprint(path).replace(":", "") == theirs.hex().upper()


def test_files_that_cannot_be_used_are_named(tmp_path: Path) -> None:
    """Missing ones, ones that do not belong together, and what is no certificate."""
    (tmp_path / "other").mkdir()
    one, other = self_signed(tmp_path, ADDRESSES, NOW), self_signed(tmp_path / "other", ADDRESSES, NOW)
    with pytest.raises(ChanterdError, match="there is no such file; --tls-key names"):
        tls_context(Certificate(one.certificate, tmp_path / "none.pem"))
    with pytest.raises(ChanterdError, match="belong to each other"):
        tls_context(Certificate(one.certificate, other.key))
    with pytest.raises(ChanterdError, match="must be in PEM form"):
        tls_context(Certificate(one.key, one.key))
