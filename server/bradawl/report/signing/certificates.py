"""Reads signers' certificates from PEM, DER or signed PDF files; holds no keys."""

from __future__ import annotations

import io
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from bradawl.common.errors import ApiError
from bradawl.language import message, text

if TYPE_CHECKING:
    from cryptography import x509

__all__ = ["Certificate", "SignerError", "certificate_of", "certificates_in", "grouped"]


class SignerError(ApiError):
    """Why a signer's certificate cannot be read or kept, as a message of the catalogue."""

    def __init__(self, message_id: str, **arguments: Any) -> None:
        super().__init__("signer", message(message_id, **arguments), 422)


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
        name=str(names[0].value) if names else text("report-signer-unnamed"),
        fingerprint=certificate.fingerprint(hashes.SHA256()).hex(),
        begins=certificate.not_valid_before_utc.date().isoformat(),
        ends=certificate.not_valid_after_utc.date().isoformat(),
        pem=certificate.public_bytes(serialization.Encoding.PEM).decode(),
    )


def certificates_in(data: bytes) -> list[Certificate]:
    """The signers' certificates in a file: PEM, DER, or a signed PDF. Raises SignerError."""
    from cryptography import x509

    if b"PRIVATE KEY-----" in data:
        raise SignerError("report-signer-private")
    if data.lstrip()[:5] == b"%PDF-":
        return _in_pdf(data)
    try:
        if b"-----BEGIN CERTIFICATE-----" in data:
            certificates = x509.load_pem_x509_certificates(data)
        else:
            certificates = [x509.load_der_x509_certificate(data)]
    except ValueError as problem:
        raise SignerError("report-signer-no-certificate") from problem
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
        raise SignerError("report-signer-damaged-pdf") from problem
    if not certificates:
        raise SignerError("report-signer-unsigned-pdf")
    return certificates
