"""The certificates: an authority that phones trust, what it issues with, and a server's own.

The authority may vouch for private names and addresses only (name constraints, RFC 5280 section
4.2.1.10), for TLS servers only (extended key usage, section 4.2.1.12), for a year. RFC 5280 lets a
client skip what stands in the authority itself (section 6.1: the trust anchor is no part of the
path), and not all clients look there. So the authority signs one more certificate, with the same
limits, where every client has to look; the key of the authority is never written and is gone
before anything else happens. What can be stolen is the key of the second, and that is bound.

Server certificates live at most 90 days, below every lifetime that phones accept (Apple: 825 days,
support article HT210176; 398 for public authorities, HT211025).
"""

from __future__ import annotations

import ipaddress
import secrets
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from bradawl.access.authority.names import PRIVATE_NETWORKS, Place, is_private_name

AUTHORITY_LIFE = timedelta(days=365)
SERVER_LIFE = timedelta(days=90)
#: Clocks of phones and laptops differ. The day is a part of the lives above.
BACKDATED = timedelta(days=1)
#: Permitted where the machine has no usable name. Without any name permitted all names would be
#: (RFC 5280 section 4.2.1.10: a form that is not named is not restricted); this one never exists
#: (RFC 6761 section 6.4).
NO_NAME = "invalid"

_PEM = serialization.Encoding.PEM
Key = ec.EllipticCurvePrivateKey


@dataclass(frozen=True)
class Authority:
    """What phones trust (`root`), what it issues with (`issuer`), and the key of the latter."""

    root: x509.Certificate
    issuer: x509.Certificate
    key: Key

    @property
    def der(self) -> bytes:
        return self.root.public_bytes(serialization.Encoding.DER)

    @property
    def pem(self) -> bytes:
        """The root alone, as text."""
        return self.root.public_bytes(_PEM)

    @property
    def fingerprint(self) -> str:
        """The SHA-256 that phones show, grouped."""
        return grouped(fingerprint_of(self.root))

    @property
    def sha256(self) -> str:
        """The same as 64 lower-case hex digits."""
        return fingerprint_of(self.root)

    @property
    def name(self) -> str:
        return common_name(self.root)

    @property
    def ends(self) -> datetime:
        return min(self.root.not_valid_after_utc, self.issuer.not_valid_after_utc)

    def to_file(self) -> bytes:
        """All of it as PEM, the key included."""
        return pem_of_key(self.key) + self.issuer.public_bytes(_PEM) + self.pem

    @classmethod
    def from_file(cls, data: bytes) -> Authority | None:
        """What `to_file` gave; None for anything that is not that, whole and matching."""
        try:
            key = serialization.load_pem_private_key(data, None)
            issuer, root = x509.load_pem_x509_certificates(data)
            issuer.verify_directly_issued_by(root)
            root.verify_directly_issued_by(root)
        except Exception:  # cut off, overwritten, another's: the library has many words for it
            return None
        if not isinstance(key, ec.EllipticCurvePrivateKey):
            return None
        return cls(root, issuer, key) if issuer.public_key() == key.public_key() else None


def make_authority(place: Place, now: datetime) -> Authority:
    """A new authority for the names of `place` and all private addresses."""
    root_key, key = ec.generate_private_key(ec.SECP256R1()), ec.generate_private_key(ec.SECP256R1())
    called = place.names[0] if place.names else "shop"
    # The random part tells apart the authorities of two servers, or of one that was set up anew.
    name = f"Bradawl on {called[:40]} {secrets.token_hex(2)}"  # a name for good: not shown
    permitted = _permitted(place)
    root = _authority_certificate(name, root_key, name, root_key, permitted, now, below=1)
    issuer = _authority_certificate(f"{name} 2", key, name, root_key, permitted, now, below=0)
    return Authority(root, issuer, key)


def _permitted(place: Place) -> list[x509.GeneralName]:
    names = [name for name in place.names if is_private_name(name)] or [NO_NAME]
    return [
        *(x509.DNSName(name) for name in names),
        *(x509.IPAddress(network) for network in PRIVATE_NETWORKS),
    ]


def _authority_certificate(
    name: str,
    key: Key,
    issuer: str,
    issuer_key: Key,
    permitted: Sequence[x509.GeneralName],
    now: datetime,
    *,
    below: int,
) -> x509.Certificate:
    """One of the two; `below` is how many authorities may stand below it."""
    begins = now - BACKDATED
    return (
        x509.CertificateBuilder()
        .subject_name(_named(name))
        .issuer_name(_named(issuer))
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(begins)
        .not_valid_after(begins + AUTHORITY_LIFE)
        .add_extension(x509.BasicConstraints(ca=True, path_length=below), critical=True)
        .add_extension(_key_usage(signs_certificates=True), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(x509.NameConstraints(permitted, None), critical=True)
        .add_extension(
            x509.AuthorityKeyIdentifier.from_issuer_public_key(issuer_key.public_key()),
            critical=False,
        )
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .sign(issuer_key, hashes.SHA256())
    )


def make_server_certificate(
    authority: Authority, place: Place, key: Key, now: datetime
) -> x509.Certificate:
    """A certificate for what of `place` the authority may vouch for."""
    begins = max(now - BACKDATED, authority.issuer.not_valid_before_utc)
    return (
        x509.CertificateBuilder()
        .subject_name(x509.Name([x509.NameAttribute(NameOID.ORGANIZATION_NAME, "Bradawl")]))
        .issuer_name(authority.issuer.subject)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(begins)
        .not_valid_after(min(begins + SERVER_LIFE, authority.ends))
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_key_usage(signs_certificates=False), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(x509.SubjectAlternativeName(names_within(authority, place)), critical=False)
        .add_extension(
            x509.AuthorityKeyIdentifier.from_issuer_public_key(authority.key.public_key()),
            critical=False,
        )
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .sign(authority.key, hashes.SHA256())
    )


def names_within(authority: Authority, place: Place) -> list[x509.GeneralName]:
    """What of a place the authority may vouch for.

    One name outside would make clients refuse the certificate as a whole, so what a machine was
    called when its authority was made counts, and a later name is left out.
    """
    permitted = {
        subtree.value
        for subtree in _subtrees(authority.issuer)
        if isinstance(subtree, x509.DNSName)
    }
    return [
        *(x509.DNSName(name) for name in place.names if name in permitted),
        *(x509.IPAddress(address) for address in place.addresses),
    ]


def too_wide(certificate: x509.Certificate) -> set[str]:
    """What a certificate of an authority allows beyond what it should.

    Of "unlimited", "names", "addresses", "uses" and "life" (longer than a year).
    """
    extensions = certificate.extensions
    try:
        constraints = extensions.get_extension_for_class(x509.NameConstraints)
    except x509.ExtensionNotFound:
        return {"unlimited"}
    permitted = constraints.value.permitted_subtrees or ()
    wide = set()
    if not constraints.critical or not {type(name) for name in permitted} >= {
        x509.DNSName,
        x509.IPAddress,
    }:
        wide.add("unlimited")
    for name in permitted:
        if isinstance(name, x509.DNSName):
            if name.value != NO_NAME and not is_private_name(name.value):
                wide.add("names")
        elif isinstance(name, x509.IPAddress) and not _is_within(name.value):
            wide.add("addresses")
    try:
        usage = set(extensions.get_extension_for_class(x509.ExtendedKeyUsage).value)
    except x509.ExtensionNotFound:
        usage = set()
    if usage != {ExtendedKeyUsageOID.SERVER_AUTH}:
        wide.add("uses")
    if certificate.not_valid_after_utc - certificate.not_valid_before_utc > AUTHORITY_LIFE:
        wide.add("life")
    return wide


def _is_within(network: object) -> bool:
    return isinstance(network, ipaddress.IPv4Network | ipaddress.IPv6Network) and any(
        network.subnet_of(private)  # type: ignore[arg-type]  # the versions are equal here
        for private in PRIVATE_NETWORKS
        if private.version == network.version
    )


def _subtrees(certificate: x509.Certificate) -> Sequence[x509.GeneralName]:
    extension = certificate.extensions.get_extension_for_class(x509.NameConstraints)
    return tuple(extension.value.permitted_subtrees or ())


def speaks_for(certificate: x509.Certificate) -> tuple[str, ...]:
    """What a certificate is about: the names of a server, the limits of an authority."""
    try:
        permitted = _subtrees(certificate)
    except x509.ExtensionNotFound:
        extension = certificate.extensions.get_extension_for_class(x509.SubjectAlternativeName)
        permitted = tuple(extension.value)
    return tuple(str(name.value) for name in permitted if name.value != NO_NAME)


def common_name(certificate: x509.Certificate) -> str:
    """What a certificate calls itself, or empty text."""
    names = certificate.subject.get_attributes_for_oid(NameOID.COMMON_NAME)
    return str(names[0].value) if names else ""


def fingerprint_of(certificate: x509.Certificate) -> str:
    """SHA-256 of the whole certificate, 64 lower-case hex digits."""
    return certificate.fingerprint(hashes.SHA256()).hex()


def grouped(fingerprint: str) -> str:
    """64 hex digits in capitals and groups of four, as the terminal and the phone's page show."""
    return " ".join(fingerprint[start : start + 4] for start in range(0, 64, 4)).upper()


def pem_of_key(key: Key) -> bytes:
    """A private key as PEM, readable by whoever can read the file it is in."""
    return key.private_bytes(_PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption())


def utc_now() -> datetime:
    return datetime.now(UTC)


def _named(name: str) -> x509.Name:
    return x509.Name(
        [
            x509.NameAttribute(NameOID.ORGANIZATION_NAME, "Bradawl"),
            x509.NameAttribute(NameOID.COMMON_NAME, name),
        ]
    )


def _key_usage(*, signs_certificates: bool) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=not signs_certificates,
        key_cert_sign=signs_certificates,
        crl_sign=False,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        encipher_only=False,
        decipher_only=False,
    )
