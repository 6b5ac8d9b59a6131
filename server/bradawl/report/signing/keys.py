"""The workshop's signing key: one file, made at first use, which only its owner may read.

It lies outside the database and its backup; nothing here asks a network for anything. Nobody else
gets a key here: whoever else signs a report does so on paper or with a program of their own.
"""

from __future__ import annotations

import datetime as dt
import secrets
import stringprep
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

from bradawl.common.private_files import write_private_file
from bradawl.language import message, text
from bradawl.report.signing.certificates import certificate_of, grouped

if TYPE_CHECKING:
    from cryptography import x509
    from cryptography.hazmat.primitives.asymmetric import ec

__all__ = ["SHOP_FILE", "Signer", "SigningError", "make_key", "open_signer"]

SHOP_FILE = "report-signing.pem"
_VALID_DAYS = 3650


class SigningError(Exception):
    """Why something could not be signed; its text is the sentence for the reader."""

    def __init__(self, message_id: str, **arguments: Any) -> None:
        self.message = message(message_id, **arguments)
        super().__init__(self.message)


@dataclass(frozen=True)
class Signer:
    """A workshop's key with its certificate.

    `fingerprint` is the SHA-256 of the DER certificate, lower hex. With `timestamp_url` (an
    RFC 3161 server) a signature also carries a time stamp.
    """

    name: str
    fingerprint: str
    certificate_pem: bytes
    timestamp_url: str = ""
    key_der: bytes = field(default=b"", repr=False)

    @property
    def digits(self) -> str:
        """The whole fingerprint in groups of four, to compare by eye."""
        return grouped(self.fingerprint)


def open_signer(folder: Path, *, name: str = "", timestamp_url: str = "") -> Signer:
    """The workshop's signer; its key is made on first use, in `name` where one is given.

    The key file has mode 0600 in a folder of mode 0700. Two processes that start at once end up
    with the same key. Raises SigningError when the file is there but unusable.
    """
    folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    file = folder / SHOP_FILE
    if not file.exists():
        make_key(file, name or text("report-key-shop", digits=secrets.token_hex(3)))
    return _load(file, timestamp_url)


def make_key(file: Path, name: str) -> None:
    """A new key with its certificate in `file`, mode 0600; a file that is there already stays."""
    from cryptography.hazmat.primitives import serialization
    from cryptography.hazmat.primitives.asymmetric import ec

    key = ec.generate_private_key(ec.SECP256R1())
    pem = key.private_bytes(
        serialization.Encoding.PEM,
        serialization.PrivateFormat.PKCS8,
        serialization.NoEncryption(),
    )
    certificate = _self_signed(key, name).public_bytes(serialization.Encoding.PEM)
    write_private_file(file, pem + certificate, keep_existing=True)


def _self_signed(key: ec.EllipticCurvePrivateKey, name: str) -> x509.Certificate:
    from cryptography import x509
    from cryptography.hazmat.primitives import hashes
    from cryptography.x509.oid import NameOID

    # Programs that compare names refuse letters that Unicode 3.2 has not (RFC 4518, 2.4), and call
    # a report changed for one.
    name = "".join(letter for letter in name if not stringprep.in_table_a1(letter))
    # X.520 bounds a common name to 64 characters.
    subject = x509.Name(
        [
            x509.NameAttribute(
                NameOID.COMMON_NAME, name.strip()[:64] or text("report-signer-unnamed")
            )
        ]
    )
    now = dt.datetime.now(dt.UTC).replace(microsecond=0)
    usage = x509.KeyUsage(
        digital_signature=True,
        content_commitment=True,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        key_cert_sign=False,
        crl_sign=False,
        encipher_only=False,
        decipher_only=False,
    )
    return (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(subject)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - dt.timedelta(hours=1))  # other clocks may lag a little
        .not_valid_after(now + dt.timedelta(days=_VALID_DAYS))
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(usage, critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .sign(key, hashes.SHA256())
    )


def _load(file: Path, timestamp_url: str) -> Signer:
    from cryptography import x509
    from cryptography.hazmat.primitives import serialization

    pem = file.read_bytes()
    try:
        key = serialization.load_pem_private_key(pem, password=None)
        certificate = x509.load_pem_x509_certificate(pem)
    except ValueError as problem:
        raise SigningError("report-key-damaged", file=file.name) from problem
    if key.public_key() != certificate.public_key():
        raise SigningError("report-key-mismatch", file=file.name)
    described = certificate_of(certificate)
    return Signer(
        name=described.name,
        fingerprint=described.fingerprint,
        certificate_pem=described.pem.encode(),
        timestamp_url=timestamp_url,
        key_der=key.private_bytes(
            serialization.Encoding.DER,
            serialization.PrivateFormat.PKCS8,
            serialization.NoEncryption(),
        ),
    )
