"""The authority as the desk and the terminal show it: texts only, read anew each time."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from cryptography import x509

from bradawl.access.authority import certificates, lifecycle
from bradawl.access.authority.lifecycle import Former


@dataclass(frozen=True)
class Certificate:
    """One certificate; days are ISO dates in UTC, the fingerprint is grouped SHA-256."""

    name: str
    fingerprint: str
    begins: str
    ends: str
    speaks_for: tuple[str, ...]


@dataclass(frozen=True)
class Shown:
    """The authority in a folder, this server's own certificate, the next and former ones.

    `takes_over` is the ISO day on which the next one does, empty without one.
    """

    authority: Certificate
    server: Certificate | None
    next: Certificate | None
    takes_over: str
    former: tuple[Former, ...]


def shown_in(keys: Path) -> Shown | None:
    """What is in a folder of keys; None without an authority."""
    folder = lifecycle.folder_in(keys)
    standing = lifecycle.read(folder)
    if standing is None:
        return None
    server = lifecycle.read_certificate(folder / "server.pem")
    following, takes_over = standing.next, standing.takes_over
    return Shown(
        _of(standing.authority.root),
        None if server is None else _of(server),
        None if following is None else _of(following.root),
        "" if takes_over is None else takes_over.date().isoformat(),
        standing.former,
    )


def _of(certificate: x509.Certificate) -> Certificate:
    return Certificate(
        name=certificates.common_name(certificate),
        fingerprint=certificates.grouped(certificates.fingerprint_of(certificate)),
        begins=certificate.not_valid_before_utc.date().isoformat(),
        ends=certificate.not_valid_after_utc.date().isoformat(),
        speaks_for=certificates.speaks_for(certificate),
    )
