"""Reads signers' certificates from PEM, DER or signed PDF files; holds no keys."""

from __future__ import annotations

import io
from dataclasses import dataclass
from typing import TYPE_CHECKING

from bradawl.common.errors import ApiError

if TYPE_CHECKING:
    from cryptography import x509

__all__ = ["Certificate", "SignerError", "certificate_of", "certificates_in", "grouped"]


class SignerError(ApiError):
    """Why a signer's certificate cannot be read or kept, as a sentence."""

    def __init__(self, sentence: str) -> None:
        super().__init__("signer", sentence, 422)


@dataclass(frozen=True)
class Certificate:
    """A signer's certificate: SHA-256 of its DER in lower hex, and the days it is valid for."""

    name: str
    fingerprint: str
    begins: str
    ends: str
    pem: str

    @property
    def digits(self) -> str:
        """The whole fingerprint in groups of four, to compare by eye."""
        return grouped(self.fingerprint)


def grouped(fingerprint: str) -> str:
    """Hex digits in upper case and groups of four."""
    return " ".join(fingerprint[at : at + 4] for at in range(0, len(fingerprint), 4)).upper()


def certificate_of(certificate: x509.Certificate) -> Certificate:
    """What a certificate says of its signer."""
    from cryptography.hazmat.primitives import hashes, serialization
    from cryptography.x509.oid import NameOID

    names = certificate.subject.get_attributes_for_oid(NameOID.COMMON_NAME)
    return Certificate(
        name=str(names[0].value) if names else "Unnamed",
        fingerprint=certificate.fingerprint(hashes.SHA256()).hex(),
        begins=certificate.not_valid_before_utc.date().isoformat(),
        ends=certificate.not_valid_after_utc.date().isoformat(),
        pem=certificate.public_bytes(serialization.Encoding.PEM).decode(),
    )


def certificates_in(data: bytes) -> list[Certificate]:
    """The signers' certificates in a file: PEM, DER, or a signed PDF. Raises SignerError."""
    from cryptography import x509

    if b"PRIVATE KEY-----" in data:
        raise SignerError(
            "This file holds a private key, which nobody should hand out. Ask its owner for the "
            "certificate alone, and tell them that the key must be replaced."
        )
    if data.lstrip()[:5] == b"%PDF-":
        return _in_pdf(data)
    try:
        if b"-----BEGIN CERTIFICATE-----" in data:
            certificates = x509.load_pem_x509_certificates(data)
        else:
            certificates = [x509.load_der_x509_certificate(data)]
    except ValueError as problem:
        raise SignerError(
            "This is neither a certificate (PEM or DER) nor a signed PDF. Ask the signer for the "
            "certificate that goes with their reports, or take one of the reports themselves."
        ) from problem
    return [certificate_of(certificate) for certificate in certificates]


def _in_pdf(data: bytes) -> list[Certificate]:
    from cryptography import x509
    from pyhanko.pdf_utils.reader import PdfFileReader

    try:
        signatures = PdfFileReader(io.BytesIO(data)).embedded_signatures
        certificates = [
            certificate_of(x509.load_der_x509_certificate(signature.signer_cert.dump()))
            for signature in signatures
        ]
    except Exception as problem:  # a stranger's file may break anywhere in the parser
        raise SignerError("This PDF is damaged; nothing can be read from it.") from problem
    if not certificates:
        raise SignerError("This PDF is not signed, so it names no signer.")
    return certificates
