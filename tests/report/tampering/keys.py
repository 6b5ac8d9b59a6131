"""Keys and certificates of any kind, as a buyer's own program may have them.

`cryptography` makes them. Kinds are named by what NIST SP 800-57 part 1 and SEC 2 call them.
"""

from __future__ import annotations

import datetime as dt
import functools
from collections.abc import Iterator
from typing import Any

from asn1crypto import keys as asn1_keys
from asn1crypto import x509 as asn1_x509
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec, ed25519, padding, rsa
from cryptography.x509.oid import NameOID
from pyhanko.sign import signers
from pyhanko_certvalidator.registry import SimpleCertificateStore

__all__ = ["DAY", "NOW", "STRANGER", "chained", "signer", "without_naming_its_certificate"]

NOW = dt.datetime.now(dt.UTC).replace(microsecond=0)
DAY = dt.timedelta(days=1)
#: Nobody's name that the shop knows.
STRANGER = "Rita Farnwell"
_CURVES: dict[str, ec.EllipticCurve] = {
    "P-224": ec.SECP224R1(),
    "P-256": ec.SECP256R1(),
    "P-384": ec.SECP384R1(),
    "P-521": ec.SECP521R1(),
    "secp256k1": ec.SECP256K1(),
    "brainpoolP256r1": ec.BrainpoolP256R1(),
}


@functools.cache
def _key(kind: str, owner: str) -> Any:
    """One key a kind and owner; making a long one takes a second."""
    assert owner
    if kind.startswith("RSA-"):
        return rsa.generate_private_key(public_exponent=65537, key_size=int(kind[4:]))
    if kind == "Ed25519":
        return ed25519.Ed25519PrivateKey.generate()
    return ec.generate_private_key(_CURVES[kind])


def _certificate(
    kind: str,
    name: str,
    issuer: tuple[str, str],
    days: tuple[int, int],
    organization: str = "",
) -> x509.Certificate:
    def named(who: str) -> x509.Name:
        said = [x509.NameAttribute(NameOID.COMMON_NAME, who)]
        if organization:
            said.append(x509.NameAttribute(NameOID.ORGANIZATION_NAME, organization))
        return x509.Name(said)

    return (
        x509.CertificateBuilder()
        .subject_name(named(name))
        .issuer_name(named(issuer[1]))
        .public_key(_key(kind, name).public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(NOW + days[0] * DAY)
        .not_valid_after(NOW + days[1] * DAY)
        .sign(_key(*issuer), None if issuer[0] == "Ed25519" else hashes.SHA256())  # type: ignore[arg-type]
    )


def _with_digest(
    certificate: x509.Certificate, issuer: tuple[str, str], digest: str
) -> x509.Certificate:
    """A certificate signed anew by an authority's RSA key, also with a digest of long ago."""
    if digest == "sha256":
        return certificate
    made = asn1_x509.Certificate.load(certificate.public_bytes(serialization.Encoding.DER))
    made["tbs_certificate"]["signature"] = {"algorithm": f"{digest}_rsa"}
    made["signature_algorithm"] = {"algorithm": f"{digest}_rsa"}
    message = made["tbs_certificate"].dump(force=True)
    hashing = getattr(hashes, digest.upper())()
    made["signature_value"] = _key(*issuer).sign(message, padding.PKCS1v15(), hashing)
    return x509.load_der_x509_certificate(made.dump(force=True))


def _signer(
    kind: str, name: str, own: x509.Certificate, others: Iterator[x509.Certificate], pss: bool
) -> signers.SimpleSigner:
    der = _key(kind, name).private_bytes(
        serialization.Encoding.DER,
        serialization.PrivateFormat.PKCS8,
        serialization.NoEncryption(),
    )
    bag = [
        asn1_x509.Certificate.load(one.public_bytes(serialization.Encoding.DER))
        for one in (own, *others)
    ]
    store = SimpleCertificateStore()
    for one in bag:
        store.register(one)
    return signers.SimpleSigner(
        signing_cert=bag[0],
        signing_key=asn1_keys.PrivateKeyInfo.load(der),
        cert_registry=store,
        prefer_pss=pss,
    )


@functools.lru_cache(128)
def signer(
    name: str = STRANGER,
    *,
    begins_days: int = -1,
    ends_days: int = 3650,
    kind: str = "P-256",
    pss: bool = False,
    organization: str = "",
) -> signers.SimpleSigner:
    """A key of the attacker's own with a certificate in any name, for any days from now."""
    days = begins_days, ends_days
    own = _certificate(kind, name, (kind, name), days, organization)
    return _signer(kind, name, own, iter(()), pss)


@functools.lru_cache(32)
def chained(
    kind: str = "P-256",
    name: str = STRANGER,
    *,
    authority: str = "RSA-2048",
    carried: tuple[str, ...] = ("Marrow Root", "Marrow Issuing"),
    root_with: str = "sha256",
    issuing_with: str = "sha256",
) -> signers.SimpleSigner:
    """A key with a certificate by an invented authority, and those of it that it carries along."""
    days = -1, 3650
    root = authority, "Marrow Root"
    issuing = authority, "Marrow Issuing"
    above = {
        root[1]: _with_digest(_certificate(*root, root, days), root, root_with),
        issuing[1]: _certificate(*issuing, root, days),
    }
    own = _with_digest(_certificate(kind, name, issuing, days), issuing, issuing_with)
    return _signer(kind, name, own, (above[one] for one in carried), False)


def without_naming_its_certificate(key: signers.SimpleSigner) -> signers.SimpleSigner:
    """The same, as programs before RFC 5035 sign: no signed attribute names the certificate."""

    class Unnamed:
        def __init__(self, spec: Any) -> None:
            self._spec = spec

        def signed_attr_providers(self, *arguments: Any, **named: Any) -> Iterator[Any]:
            for one in self._spec.signed_attr_providers(*arguments, **named):
                if one.attribute_type != "signing_certificate_v2":
                    yield one

    class Older(signers.SimpleSigner):
        def _signed_attr_provider_spec(self, *arguments: Any, **named: Any) -> Any:
            return Unnamed(super()._signed_attr_provider_spec(*arguments, **named))

    return Older(
        signing_cert=key.signing_cert,
        signing_key=key.signing_key,
        cert_registry=key.cert_registry,
        prefer_pss=key.prefer_pss,
    )
