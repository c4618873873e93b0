"""Whom ``chanterd join`` trusts: a certificate that the system knows, a copied one, or one by its fingerprint."""

import re
import ssl
from pathlib import Path
from urllib.parse import urlsplit

from chanterd.config import ChanterdError
from chanterd.serving.access.tls import fingerprint_of

DIGITS = 64
"""Of a SHA-256 fingerprint."""
ANSWER_S = 10.0
"""How long the class has to show its certificate, seconds."""


def trusted_at(page: str, certificate: Path | None, fingerprint: str | None) -> ssl.SSLContext | None:
    """What to trust at that page; None if it is not encrypted.

    Raises ChanterdError if a file or a fingerprint cannot be used, or the class has another certificate.
    """
    wanted = None if fingerprint is None else _plain(fingerprint)
    if not page.startswith("https:"):
        if certificate is not None or wanted is not None:
            raise ChanterdError(
                f"{page} has no certificate; the address must begin with https:// to be trusted by one."
            )
        return None
    if wanted is not None:
        return _pinned(page, wanted)
    try:
        return ssl.create_default_context(cafile=certificate)
    except OSError as error:
        raise ChanterdError(f"{certificate}: cannot be used as a certificate ({error}); give a PEM file.") from error


def not_trusted(page: str) -> str:
    """What to do about a class whose certificate nobody vouches for, with its fingerprint."""
    try:
        shown = fingerprint_of(ssl.PEM_cert_to_DER_cert(_shown_by(page)))
    except OSError:
        shown = "not to be had now"
    return (
        f"The certificate of {page} is not one that this machine trusts. Its fingerprint is {shown}. If the class "
        "shows the same one, where it was started or on its page with the codes, add --fingerprint and these letters."
    )


def _plain(fingerprint: str) -> str:
    plain = re.sub(r"[\s:]", "", fingerprint).upper()
    if not re.fullmatch(f"[0-9A-F]{{{DIGITS}}}", plain):
        raise ChanterdError(
            f"The fingerprint is '{fingerprint}'; it must be {DIGITS} digits from 0 to F, with or without colons, as "
            "the class shows it."
        )
    return plain


def _pinned(page: str, wanted: str) -> ssl.SSLContext:
    """Trust in that one certificate and no other, whatever name is in it."""
    try:
        pem = _shown_by(page)
    except OSError as error:
        said = f"The class at {page} cannot be reached ({error}); check the address, and that both are on one network."
        raise ChanterdError(said) from error
    shown = fingerprint_of(ssl.PEM_cert_to_DER_cert(pem))
    if shown.replace(":", "") != wanted:
        raise ChanterdError(
            f"{page} shows a certificate with the fingerprint {shown}, which is another one. Check the address and the "
            "fingerprint; if both are right, somebody else answers there."
        )
    context = ssl.create_default_context(cadata=pem)
    context.check_hostname = False  # the certificate itself is known
    return context


def _shown_by(page: str) -> str:
    url = urlsplit(page)
    return ssl.get_server_certificate((url.hostname or "", url.port or 443), timeout=ANSWER_S)
