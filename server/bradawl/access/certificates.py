"""The workshop's own certificate authority and the certificate that it gives this server.

The authority may speak for private names and addresses only (name constraints, RFC 5280 section
4.2.1.10): a phone that trusts it cannot be fooled by it about any public website. Server
certificates live 90 days, below every lifetime that phones accept (Apple: 825 days, support
article HT210176; 398 for public authorities, HT211025), and are renewed 30 days before their end
or as soon as the machine has another name or address.
"""

from __future__ import annotations

import ipaddress
import os
import re
import secrets
import socket
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

Address = ipaddress.IPv4Address | ipaddress.IPv6Address
Network = ipaddress.IPv4Network | ipaddress.IPv6Network

AUTHORITY_LIFE = timedelta(days=3650)
SERVER_LIFE = timedelta(days=90)
RENEW_BEFORE = timedelta(days=30)
#: Clocks of phones and laptops differ.
BACKDATED = timedelta(days=1)

#: Names that no public authority gives out: RFC 6761, 6762, 8375 and ICANN's .internal.
PRIVATE_NAMES = ("localhost", "local", "home.arpa", "internal")
#: RFC 1918, 6598, 3927, 4193, 4291 and loopback.
PRIVATE_NETWORKS: tuple[Network, ...] = tuple(
    ipaddress.ip_network(one)
    for one in (
        "10.0.0.0/8",
        "172.16.0.0/12",
        "192.168.0.0/16",
        "100.64.0.0/10",
        "169.254.0.0/16",
        "127.0.0.0/8",
        "fc00::/7",
        "fe80::/10",
        "::1/128",
    )
)
_LABEL = re.compile(r"[a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?")


@dataclass(frozen=True)
class Place:
    """What this machine is called: DNS names and private addresses, in the order of preference."""

    names: tuple[str, ...]
    addresses: tuple[Address, ...]


@dataclass(frozen=True)
class Authority:
    """The authority's certificate; `fingerprint` is the SHA-256 that phones show."""

    certificate: x509.Certificate
    key: ec.EllipticCurvePrivateKey

    @property
    def der(self) -> bytes:
        return self.certificate.public_bytes(serialization.Encoding.DER)

    @property
    def fingerprint(self) -> str:
        return grouped(self.certificate.fingerprint(hashes.SHA256()).hex())


@dataclass(frozen=True)
class ServerFiles:
    """Paths for a TLS server; `renewed` says whether they were just written."""

    certificate: Path
    key: Path
    ends: datetime
    renewed: bool


@dataclass(frozen=True)
class Standing:
    """A certificate as the desk shows it: days are ISO dates in UTC."""

    name: str
    fingerprint: str
    begins: str
    ends: str
    speaks_for: tuple[str, ...]


def standing(folder: Path) -> tuple[Standing, Standing | None] | None:
    """The authority in `folder` and the server certificate made by it; None without an authority.

    Read anew each time, because the server certificate renews itself.
    """
    authority = _read_certificate(folder / "authority.pem")
    if authority is None:
        return None
    server = _read_certificate(folder / "server.pem")
    constraints = authority.extensions.get_extension_for_class(x509.NameConstraints).value
    names = None
    if server is not None:
        names = server.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    return (
        _standing(authority, constraints.permitted_subtrees or ()),
        None if server is None else _standing(server, names or ()),
    )


def _standing(certificate: x509.Certificate, names: Iterable[x509.GeneralName]) -> Standing:
    common = certificate.subject.get_attributes_for_oid(NameOID.COMMON_NAME)
    return Standing(
        name=str(common[0].value) if common else "",
        fingerprint=grouped(certificate.fingerprint(hashes.SHA256()).hex()),
        begins=certificate.not_valid_before_utc.date().isoformat(),
        ends=certificate.not_valid_after_utc.date().isoformat(),
        speaks_for=tuple(str(one.value) for one in names),
    )


def grouped(fingerprint: str) -> str:
    """64 hex digits in capitals and groups of four, as the terminal and the phone's page show."""
    return " ".join(fingerprint[start : start + 4] for start in range(0, 64, 4)).upper()


def this_machine() -> Place:
    """The names and private addresses under which this machine can be reached now."""
    host = socket.gethostname().split(".")[0].lower()
    names = ["localhost"]
    if _LABEL.fullmatch(host) and host != "localhost":
        names = [f"{host}.local", host, "localhost"]
    found: dict[Address, None] = {}
    for target in ("192.0.2.1", "10.254.254.254", "172.30.254.254", "192.168.254.254"):
        _note_source(found, socket.AF_INET, target)
    for target in ("2001:db8::1", "fd00::1"):
        _note_source(found, socket.AF_INET6, target)
    try:
        for entry in socket.getaddrinfo(socket.gethostname(), None):
            found[ipaddress.ip_address(str(entry[4][0]).partition("%")[0])] = None
    except OSError:
        pass  # a machine that cannot look up its own name is reached by address
    found[ipaddress.ip_address("127.0.0.1")] = None
    found[ipaddress.ip_address("::1")] = None
    usable = [one for one in found if is_private(one) and not one.is_unspecified]
    return Place(tuple(names), tuple(sorted(usable, key=_preference)))


def is_private(address: Address) -> bool:
    """Whether the authority may speak for the address."""
    return any(address in network for network in PRIVATE_NETWORKS)


def _note_source(found: dict[Address, None], family: socket.AddressFamily, target: str) -> None:
    # Connecting a datagram socket sends nothing; it asks which own address would be used.
    with socket.socket(family, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect((target, 9))
            found[ipaddress.ip_address(probe.getsockname()[0].partition("%")[0])] = None
        except OSError:
            return


def _preference(address: Address) -> tuple[bool, bool, bool, int]:
    return (address.is_loopback, address.version == 6, address.is_link_local, int(address))


def open_authority(folder: Path, place: Place, *, now: datetime | None = None) -> Authority:
    """The authority in `folder` (keys readable by their owner only), made when there is none.

    Made anew, too, when it ends within the life of a server certificate: then every phone has to
    learn it again.
    """
    now = now or datetime.now(UTC)
    kept = _read_authority(folder)
    if kept is not None and kept.certificate.not_valid_after_utc - now > SERVER_LIFE:
        return kept
    key = ec.generate_private_key(ec.SECP256R1())
    certificate = _authority_certificate(key, place, now)
    _write_private(folder / "authority.key", _pem(key))
    _write(folder / "authority.pem", certificate.public_bytes(serialization.Encoding.PEM))
    return Authority(certificate, key)


def server_files(
    folder: Path, authority: Authority, place: Place, *, now: datetime | None = None
) -> ServerFiles:
    """Certificate and key for `place`, renewed when they no longer fit or end soon."""
    now = now or datetime.now(UTC)
    certificate_path, key_path = folder / "server.pem", folder / "server.key"
    kept = _read_certificate(certificate_path)
    if kept is not None and key_path.is_file() and _fits(kept, authority, place, now):
        return ServerFiles(certificate_path, key_path, kept.not_valid_after_utc, renewed=False)
    key = ec.generate_private_key(ec.SECP256R1())
    certificate = _server_certificate(key, authority, place, now)
    _write_private(key_path, _pem(key))
    pem = serialization.Encoding.PEM
    chain = certificate.public_bytes(pem) + authority.certificate.public_bytes(pem)
    _write(certificate_path, chain)
    return ServerFiles(certificate_path, key_path, certificate.not_valid_after_utc, renewed=True)


def _fits(kept: x509.Certificate, authority: Authority, place: Place, now: datetime) -> bool:
    if (
        kept.issuer != authority.certificate.subject
        or kept.not_valid_after_utc - now < RENEW_BEFORE
    ):
        return False
    try:
        kept.verify_directly_issued_by(authority.certificate)
    except Exception:
        return False
    names = kept.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    wanted = _alternative_names(authority, place)
    return set(wanted) <= set(names)


def _authority_certificate(
    key: ec.EllipticCurvePrivateKey, place: Place, now: datetime
) -> x509.Certificate:
    bare = [name for name in place.names if "." not in name and name not in PRIVATE_NAMES]
    # The random part tells apart the authorities of two servers, or of one that was set up anew.
    subject = x509.Name(
        [
            x509.NameAttribute(NameOID.ORGANIZATION_NAME, "Bradawl"),
            x509.NameAttribute(
                NameOID.COMMON_NAME, f"Bradawl on {place.names[0]} {secrets.token_hex(2)}"[:64]
            ),
        ]
    )
    permitted: list[x509.GeneralName] = [x509.DNSName(name) for name in (*PRIVATE_NAMES, *bare)] + [
        x509.IPAddress(network) for network in PRIVATE_NETWORKS
    ]
    return (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(subject)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - BACKDATED)
        .not_valid_after(now + AUTHORITY_LIFE)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(_key_usage(signs_certificates=True), critical=True)
        .add_extension(
            x509.NameConstraints(permitted_subtrees=permitted, excluded_subtrees=None),
            critical=True,
        )
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .sign(key, hashes.SHA256())
    )


def _server_certificate(
    key: ec.EllipticCurvePrivateKey, authority: Authority, place: Place, now: datetime
) -> x509.Certificate:
    issuer = authority.certificate
    return (
        x509.CertificateBuilder()
        .subject_name(x509.Name([x509.NameAttribute(NameOID.ORGANIZATION_NAME, "Bradawl")]))
        .issuer_name(issuer.subject)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - BACKDATED)
        .not_valid_after(min(now + SERVER_LIFE, issuer.not_valid_after_utc))
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_key_usage(signs_certificates=False), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(
            x509.SubjectAlternativeName(_alternative_names(authority, place)), critical=False
        )
        .add_extension(
            x509.AuthorityKeyIdentifier.from_issuer_public_key(authority.key.public_key()),
            critical=False,
        )
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .sign(authority.key, hashes.SHA256())
    )


def _alternative_names(authority: Authority, place: Place) -> list[x509.GeneralName]:
    # One name outside the constraints would make clients refuse the certificate as a whole, so
    # the bare name of a machine that was renamed after its authority was made is left out.
    bare = {name.value for name in _permitted(authority) if isinstance(name, x509.DNSName)}
    names = (name for name in place.names if "." in name or name in bare)
    return [
        *(x509.DNSName(name) for name in names),
        *(x509.IPAddress(address) for address in place.addresses),
    ]


def _permitted(authority: Authority) -> Iterable[x509.GeneralName]:
    extension = authority.certificate.extensions.get_extension_for_class(x509.NameConstraints)
    return extension.value.permitted_subtrees or ()


def _key_usage(*, signs_certificates: bool) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=not signs_certificates,
        key_cert_sign=signs_certificates,
        crl_sign=signs_certificates,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        encipher_only=False,
        decipher_only=False,
    )


def _read_authority(folder: Path) -> Authority | None:
    certificate = _read_certificate(folder / "authority.pem")
    try:
        key = serialization.load_pem_private_key((folder / "authority.key").read_bytes(), None)
    except (FileNotFoundError, ValueError):
        return None
    if certificate is None or not isinstance(key, ec.EllipticCurvePrivateKey):
        return None
    if certificate.public_key() != key.public_key():
        return None  # half of a pair was written before a crash
    return Authority(certificate, key)


def _read_certificate(path: Path) -> x509.Certificate | None:
    try:
        return x509.load_pem_x509_certificate(path.read_bytes())
    except (FileNotFoundError, ValueError):
        return None


def _pem(key: ec.EllipticCurvePrivateKey) -> bytes:
    return key.private_bytes(
        serialization.Encoding.PEM,
        serialization.PrivateFormat.PKCS8,
        serialization.NoEncryption(),
    )


def _write_private(path: Path, data: bytes) -> None:
    _write(path, data, mode=0o600)


def _write(path: Path, data: bytes, mode: int = 0o644) -> None:
    path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    part = path.with_name(f".{path.name}.{secrets.token_hex(4)}")
    # Born with its mode: there is no moment in which others could read a key.
    descriptor = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL, mode)
    with os.fdopen(descriptor, "wb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())
    part.replace(path)
