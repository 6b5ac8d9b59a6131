"""The certificates in a signature: which belong there, and whose keys are good enough.

Nobody is trusted for being an authority: known keys are known by their fingerprints. But a byte
that nothing vouches for could be another, so one that is there must vouch for each certificate.
The twin of web/src/check/signature/authorities.ts: what browsers cannot check is taken nowhere.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from bradawl.language import Message, message

if TYPE_CHECKING:
    from cryptography import x509

__all__ = ["belong_to", "is_vouched_for", "key_problem"]

_FEWEST_RSA_BITS = 2048
_CURVES = ("secp256r1", "secp384r1", "secp521r1")
_DIGESTS = ("sha256", "sha384", "sha512")
_MOST_CERTIFICATES = 12


def key_problem(certificate: x509.Certificate) -> Message | None:
    """Why a key is not one to sign with; None for RSA and the curves that browsers have.

    It must be written in the one form that all readers take (RFC 3279, 2.3.1; RFC 5480, 2.1.1).
    """
    from cryptography.hazmat.primitives.asymmetric import ec, rsa

    key = certificate.public_key()
    if isinstance(key, rsa.RSAPublicKey):
        if key.key_size < _FEWEST_RSA_BITS:
            return message("report-verify-weak")
    elif not isinstance(key, ec.EllipticCurvePublicKey) or key.curve.name not in _CURVES:
        return message("report-verify-rare-key")
    if _key_bytes(certificate) not in certificate.tbs_certificate_bytes:
        return message("report-verify-rare-key")
    return None


def belong_to(own: bytes, certificates: Sequence[bytes]) -> bool:
    """Whether every certificate is the signer's own, or of the authorities above it.

    Each must vouch for one that belongs here and be vouched for itself, or a byte of it could be
    another: nothing else protects it.
    """
    if len(certificates) > _MOST_CERTIFICATES:
        return False
    first, *waiting = _loaded(own, certificates)
    bag, belong = [first, *waiting], [first]
    if any(_key_bytes(one) == _key_bytes(first) for one in waiting):
        return False  # another form of the signer's own
    while waiting:
        issuer = next((one for one in waiting if any(_vouches(one, for_) for for_ in belong)), None)
        if issuer is None or not any(_vouches(above, issuer) for above in bag):
            return False
        waiting.remove(issuer)
        belong.append(issuer)
    return True


def is_vouched_for(own: bytes, certificates: Sequence[bytes]) -> bool:
    """Whether one of these certificates, or itself, vouches for the signer's own."""
    first, *others = _loaded(own, certificates)
    return any(_vouches(one, first) for one in (first, *others))


def _loaded(own: bytes, certificates: Sequence[bytes]) -> list[x509.Certificate]:
    """The signer's certificate and the others, each once."""
    from cryptography import x509

    others = dict.fromkeys(certificate for certificate in certificates if certificate != own)
    return [x509.load_der_x509_certificate(der) for der in (own, *others)]


def _key_bytes(certificate: x509.Certificate) -> bytes:
    from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat

    return certificate.public_key().public_bytes(Encoding.DER, PublicFormat.SubjectPublicKeyInfo)


def _vouches(issuer: x509.Certificate, certificate: x509.Certificate) -> bool:
    """Whether one certificate signed the other, in a way that holds."""
    from cryptography.hazmat.primitives.asymmetric import padding

    try:
        digest = certificate.signature_hash_algorithm
        if digest is None or key_problem(issuer):
            return False
        if digest.name == "sha1":
            return issuer is certificate and _is_old_root(certificate)
        how = certificate.signature_algorithm_parameters
        if isinstance(how, padding.PSS) and how.mgf._algorithm.name != digest.name:
            return False
        certificate.verify_directly_issued_by(issuer)
    except Exception:  # another key, another name, an algorithm that is not known
        return False
    return digest.name in _DIGESTS


def _is_old_root(certificate: x509.Certificate) -> bool:
    """Whether a certificate signed itself with SHA-1, as authorities of long ago did.

    Whoever changed a byte of it would need another text with that digest, which nobody ever found.
    Raises InvalidSignature.
    """
    from asn1crypto.x509 import Certificate  # type: ignore[import-untyped]
    from cryptography.hazmat.primitives import hashes, serialization
    from cryptography.hazmat.primitives.asymmetric import padding, rsa

    key = certificate.public_key()
    written = Certificate.load(certificate.public_bytes(serialization.Encoding.DER))
    algorithms = written["tbs_certificate"]["signature"], written["signature_algorithm"]
    if certificate.subject != certificate.issuer or not isinstance(key, rsa.RSAPublicKey):
        return False
    signed, signature = certificate.tbs_certificate_bytes, certificate.signature
    key.verify(signature, signed, padding.PKCS1v15(), hashes.SHA1())
    return bool(algorithms[0].dump() == algorithms[1].dump())
