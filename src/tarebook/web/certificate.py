"""A certificate of our own: with it a phone may keep the bench page for a reload offline."""

from __future__ import annotations

import contextlib
import datetime as dt
import ipaddress
import os
from collections.abc import Sequence
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

DAYS = 365
"""Browsers refuse certificates that hold for much longer than a year."""

CERTIFICATE, KEY = "certificate.pem", "key.pem"


def certificate(place: Path, names: Sequence[str], now: dt.datetime) -> tuple[Path, Path]:
    """Return certificate and key for some names; the old ones as long as they serve.

    Parameters
    ----------
    place : Path
        Folder that only its owner may read.
    names : sequence of str
        Host names and addresses by which the app is reached.
    now : datetime

    Returns
    -------
    certificate, key : Path
    """
    paths = place / CERTIFICATE, place / KEY
    if all(path.is_file() for path in paths) and _serves(paths[0], names, now):
        return paths
    key = ec.generate_private_key(ec.SECP256R1())
    made = _signed(key, names, now)
    _write(
        paths[1],
        key.private_bytes(
            serialization.Encoding.PEM,
            serialization.PrivateFormat.PKCS8,
            serialization.NoEncryption(),
        ),
    )
    _write(paths[0], made.public_bytes(serialization.Encoding.PEM))
    return paths


def fingerprint(path: Path) -> str:
    """Return what a careful person compares with what the phone shows."""
    made = x509.load_pem_x509_certificate(path.read_bytes())
    return made.fingerprint(hashes.SHA256()).hex(":").upper()


def _signed(
    key: ec.EllipticCurvePrivateKey, names: Sequence[str], now: dt.datetime
) -> x509.Certificate:
    subject = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "Tarebook at the bench")])
    return (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(subject)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - dt.timedelta(days=1))
        .not_valid_after(now + dt.timedelta(days=DAYS))
        .add_extension(x509.SubjectAlternativeName([_name(name) for name in names]), critical=False)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .sign(key, hashes.SHA256())
    )


def _name(name: str) -> x509.GeneralName:
    try:
        return x509.IPAddress(ipaddress.ip_address(name))
    except ValueError:
        return x509.DNSName(name)


def _serves(path: Path, names: Sequence[str], now: dt.datetime) -> bool:
    try:
        made = x509.load_pem_x509_certificate(path.read_bytes())
        known = made.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    except (ValueError, x509.ExtensionNotFound):
        return False
    soon = now + dt.timedelta(days=7)
    return made.not_valid_after_utc > soon and all(_name(name) in list(known) for name in names)


def _write(path: Path, data: bytes) -> None:
    path.unlink(missing_ok=True)
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(handle, "wb") as file:
        file.write(data)
    with contextlib.suppress(OSError):
        path.chmod(0o600)
