"""TLS for the network's listeners: with the user's own certificate, or with one that we sign ourselves.

Browsers give Web MIDI to a secure origin only (W3C Web MIDI API; Secure Contexts): ``localhost``, or ``https``.
A certificate of our own is kept in the data folder, so that whoever has accepted it once need not do so each time.
"""

import datetime as dt
import hashlib
import ipaddress
import ssl
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from chanterd.config import ChanterdError
from chanterd.files import write_whole

CERTIFICATE, KEY = "tls-certificate.pem", "tls-key.pem"
VALID_DAYS = 365
"""Browsers refuse certificates that last longer than 398 days (CA/Browser Forum baseline requirements, from memory)."""
RENEW_DAYS = 30
"""How long before its end a certificate is made new."""
BROWSERS_WORDS = (
    "Your browser will say that the connection is not private or not trusted, since nobody but this machine vouches "
    "for the certificate. Choose 'Advanced' or 'Details', then go on to the page. To be sure that it is this machine, "
    "compare the certificate's SHA-256 fingerprint that the browser shows with this one:"
)


@dataclass(frozen=True, slots=True)
class Certificate:
    """A certificate and its key, as files."""

    certificate: Path
    key: Path


def tls_context(files: Certificate) -> ssl.SSLContext:
    """What a server needs to speak TLS. Raises ChanterdError if the two cannot be read or do not fit each other."""
    for option, path in (("--tls-cert", files.certificate), ("--tls-key", files.key)):
        if not path.is_file():
            raise ChanterdError(f"{path}: there is no such file; {option} names a file in PEM form.")
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.set_alpn_protocols(["http/1.1"])
    try:
        # Without an answer of ours the library would ask for the key's password in the terminal.
        context.load_cert_chain(files.certificate, files.key, password=lambda: "")
    except (OSError, ValueError) as error:  # SSLError is an OSError
        raise ChanterdError(
            f"{files.certificate} and {files.key}: the certificate and its key cannot be used ({error}). Both must be "
            "in PEM form, belong to each other, and the key must have no password."
        ) from error
    return context


def fingerprint(certificate: Path) -> str:
    """The SHA-256 fingerprint of a PEM certificate, as browsers show it: pairs of hex digits with colons."""
    return fingerprint_of(ssl.PEM_cert_to_DER_cert(certificate.read_text("ascii")))


def fingerprint_of(der: bytes) -> str:
    """The same of a certificate's bytes."""
    digest = hashlib.sha256(der).hexdigest().upper()
    return ":".join(digest[at : at + 2] for at in range(0, len(digest), 2))


def self_signed(folder: Path, addresses: Sequence[str], now: dt.datetime) -> Certificate:
    """A certificate of our own for those addresses, kept in the data folder and made when it is needed.

    Raises ChanterdError if it cannot be written.
    """
    files = Certificate(folder / CERTIFICATE, folder / KEY)
    if not _is_good(files, addresses, now):
        _make(files, addresses, now)
    return files


def _is_good(files: Certificate, addresses: Sequence[str], now: dt.datetime) -> bool:
    # Only here, as in _make: few need it, and it takes a tenth of a second to load.
    from cryptography import x509  # noqa: PLC0415

    try:
        tls_context(files)
        known = x509.load_pem_x509_certificate(files.certificate.read_bytes())
        names = known.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    except (ChanterdError, OSError, ValueError, x509.ExtensionNotFound):
        return False
    covered = {str(one) for one in names.get_values_for_type(x509.IPAddress)}
    lasts = known.not_valid_after_utc - now > dt.timedelta(days=RENEW_DAYS)
    return lasts and known.not_valid_before_utc <= now and covered.issuperset(addresses)


def _make(files: Certificate, addresses: Sequence[str], now: dt.datetime) -> None:
    from cryptography import x509  # noqa: PLC0415
    from cryptography.hazmat.primitives import hashes, serialization  # noqa: PLC0415
    from cryptography.hazmat.primitives.asymmetric import ec  # noqa: PLC0415
    from cryptography.x509.oid import ExtendedKeyUsageOID  # noqa: PLC0415

    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(x509.NameOID.COMMON_NAME, "chanterd on this machine")])
    alternatives: list[x509.GeneralName] = [x509.IPAddress(ipaddress.ip_address(one)) for one in addresses]
    made = (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - dt.timedelta(days=1))  # a learner's clock may be behind
        .not_valid_after(now + dt.timedelta(days=VALID_DAYS))
        .add_extension(x509.SubjectAlternativeName(alternatives), critical=False)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .sign(key, hashes.SHA256())
    )
    encoded = key.private_bytes(
        serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    )
    mend = "choose another folder with --data"
    write_whole(files.key, [encoded], mend)
    files.key.chmod(0o600)
    write_whole(files.certificate, [made.public_bytes(serialization.Encoding.PEM)], mend)
