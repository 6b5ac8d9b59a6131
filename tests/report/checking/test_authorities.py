"""Which keys are good enough to sign with: those that a browser can check as well.

What browsers have: RSA and the curves P-256, P-384 and P-521 (W3C Web Cryptography, 20 and 23). The
fewest bits: NIST SP 800-57 part 1, revision 5, table 2 (112 bits of security are RSA of 2,048).
"""

from __future__ import annotations

import datetime as dt
from functools import cache

import pytest
from cryptography import x509
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec, ed25519, rsa
from cryptography.hazmat.primitives.asymmetric.types import CertificateIssuerPrivateKeyTypes
from cryptography.x509.oid import NameOID

from bradawl.report.checking.authorities import key_problem


@cache
def _key(kind: str) -> CertificateIssuerPrivateKeyTypes:
    if kind.startswith("RSA-"):
        return rsa.generate_private_key(65537, int(kind[4:]))
    if kind == "Ed25519":
        return ed25519.Ed25519PrivateKey.generate()
    curves = (ec.SECP256R1, ec.SECP384R1, ec.SECP521R1, ec.SECP224R1, ec.SECP256K1)
    curve = {curve.name: curve for curve in (*curves, ec.BrainpoolP256R1)}[kind]
    return ec.generate_private_key(curve())


def _certificate(kind: str) -> x509.Certificate:
    key = _key(kind)
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "A workshop")])
    start = dt.datetime(2026, 1, 1, tzinfo=dt.UTC)
    return (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(key.public_key())
        .serial_number(7)
        .not_valid_before(start)
        .not_valid_after(start + dt.timedelta(days=30))
        .sign(key, None if kind == "Ed25519" else hashes.SHA256())
    )


@pytest.mark.parametrize("kind", ["RSA-2048", "secp256r1", "secp384r1", "secp521r1"])
def test_what_browsers_check_is_good_enough(kind: str) -> None:
    assert key_problem(_certificate(kind)) is None


@pytest.mark.parametrize(
    ("kind", "said"),
    [
        ("RSA-1024", "report-verify-weak"),
        ("RSA-2047", "report-verify-weak"),
        ("secp224r1", "report-verify-rare-key"),
        ("secp256k1", "report-verify-rare-key"),
        ("brainpoolP256r1", "report-verify-rare-key"),
        ("Ed25519", "report-verify-rare-key"),
    ],
)
def test_every_other_key_is_named_as_what_it_is(kind: str, said: str) -> None:
    problem = key_problem(_certificate(kind))
    assert problem is not None
    assert problem.id == said


def test_a_key_in_another_form_is_taken_nowhere() -> None:
    """A point compressed (SEC 1, 2.3.3): the same key, and no browser reads it."""
    plain = _certificate("secp256r1")
    point = plain.public_key()
    assert isinstance(point, ec.EllipticCurvePublicKey)
    numbers = point.public_numbers()
    long = b"\x03\x42\x00\x04" + numbers.x.to_bytes(32, "big") + numbers.y.to_bytes(32, "big")
    short = b"\x03\x22\x00" + bytes([2 + numbers.y % 2]) + numbers.x.to_bytes(32, "big")
    assert long in plain.tbs_certificate_bytes

    class Other:
        """That certificate with the other form in what its authority signed."""

        tbs_certificate_bytes = plain.tbs_certificate_bytes.replace(long, short)

        def public_key(self) -> ec.EllipticCurvePublicKey:
            return point

    problem = key_problem(Other())  # type: ignore[arg-type]
    assert problem is not None
    assert problem.id == "report-verify-rare-key"
