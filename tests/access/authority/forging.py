"""What a thief of the keys folder could make, and what clients say to it: three of them.

`cryptography` (the library's own verifier of RFC 5280), OpenSSL's command and NSS's certutil, which
is what Chromium uses on Linux to keep what it trusts.
"""

from __future__ import annotations

import subprocess
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID as Use
from cryptography.x509.oid import NameOID, ObjectIdentifier
from cryptography.x509.verification import PolicyBuilder, Store, VerificationError

from bradawl.access.authority.certificates import Authority, pem_of_key

PEM = serialization.Encoding.PEM


@dataclass(frozen=True)
class Chain:
    """A leaf and what stands above it, in files."""

    folder: Path
    leaf: x509.Certificate
    issuer: x509.Certificate
    root: x509.Certificate


def forged(
    folder: Path,
    authority: Authority,
    names: Sequence[x509.GeneralName],
    *,
    uses: Sequence[ObjectIdentifier] = (Use.SERVER_AUTH,),
    common_name: str = "",
    now: datetime,
) -> Chain:
    """A certificate made with the key that lies in the keys folder, as its thief likes it.

    `leaf.key` and `sent.crt` in the folder are what a TLS server needs.
    """
    key = ec.generate_private_key(ec.SECP256R1())
    subject = [x509.NameAttribute(NameOID.COMMON_NAME, common_name)] if common_name else []
    builder = (
        x509.CertificateBuilder()
        .subject_name(x509.Name(subject))
        .issuer_name(authority.issuer.subject)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - timedelta(hours=1))
        .not_valid_after(now + timedelta(days=30))
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(
            x509.AuthorityKeyIdentifier.from_issuer_public_key(authority.key.public_key()), False
        )
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), False)
    )
    if names:
        builder = builder.add_extension(x509.SubjectAlternativeName(names), critical=not subject)
    if uses:
        builder = builder.add_extension(x509.ExtendedKeyUsage(uses), critical=False)
    leaf = builder.sign(authority.key, hashes.SHA256())
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "leaf.key").write_bytes(pem_of_key(key))
    (folder / "sent.crt").write_bytes(leaf.public_bytes(PEM) + authority.issuer.public_bytes(PEM))
    return chain(folder, leaf, authority.issuer, authority.root)


def chain(
    folder: Path, leaf: x509.Certificate, issuer: x509.Certificate, root: x509.Certificate
) -> Chain:
    """The same in files that the commands read."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, certificate in (("leaf", leaf), ("issuer", issuer), ("root", root)):
        (folder / f"{name}.crt").write_bytes(certificate.public_bytes(PEM))
    return Chain(folder, leaf, issuer, root)


def accepts(chain: Chain, name: x509.GeneralName, now: datetime) -> bool:
    """Whether a TLS client that trusts the root accepts the leaf for a name (`cryptography`)."""
    builder = PolicyBuilder().store(Store([chain.root])).time(now)
    try:
        builder.build_server_verifier(name).verify(  # type: ignore[arg-type]
            chain.leaf, [chain.issuer]
        )
    except VerificationError:
        return False
    return True


def accepts_client(chain: Chain, now: datetime) -> bool:
    """Whether a server that trusts the root accepts the leaf from a client (`cryptography`)."""
    builder = PolicyBuilder().store(Store([chain.root])).time(now)
    try:
        builder.build_client_verifier().verify(chain.leaf, [chain.issuer])
    except VerificationError:
        return False
    return True


def openssl(chain: Chain, *more: str, now: datetime) -> tuple[bool, str]:
    """OpenSSL's judgement, and what it said."""
    done = subprocess.run(
        [
            *("openssl", "verify", "-x509_strict", "-attime", str(int(now.timestamp()))),
            *("-CAfile", "root.crt", "-untrusted", "issuer.crt", *more, "leaf.crt"),
        ],
        cwd=chain.folder,
        capture_output=True,
        text=True,
        check=False,
    )
    return done.returncode == 0, done.stdout + done.stderr


class Nss:
    """A certificate store of NSS that trusts a root for servers, clients, e-mail and programs, so
    that only the certificates themselves can be why something is refused.
    """

    def __init__(self, folder: Path, authority: Authority) -> None:
        folder.mkdir(parents=True)
        self._folder = folder
        self._certutil = ["certutil", "-d", f"sql:{folder}"]
        self._count = 0
        subprocess.run([*self._certutil, "-N", "--empty-password"], check=True)
        self._add("root", "CT,C,C", authority.root)
        self._add("issuer", ",,", authority.issuer)

    def _add(self, name: str, flags: str, certificate: x509.Certificate) -> None:
        path = self._folder / f"{name}.crt"
        path.write_bytes(certificate.public_bytes(PEM))
        command = [*self._certutil, "-A", "-n", name, "-t", flags, "-i", str(path)]
        subprocess.run(command, check=True)

    def accepts(self, leaf: x509.Certificate, usage: str, now: datetime) -> tuple[bool, str]:
        """Its judgement for a usage: V a server, S e-mail, J programs; and what it said."""
        self._count += 1
        name = f"leaf{self._count}"
        self._add(name, ",,", leaf)
        at = now.strftime("%y%m%d%H%M%SZ")
        done = subprocess.run(
            [*self._certutil, "-V", "-n", name, "-u", usage, "-e", "-b", at],
            capture_output=True,
            text=True,
            check=False,
        )
        return done.returncode == 0, done.stdout + done.stderr
