"""The signers that this workshop knows: its own keys' certificates, and those of others.

What is known stands in one file beside the ledger, certificates only: it is no secret, travels in
every backup, and outlives the keys. A replaced key leaves its certificate there, so that what it
signed still counts; its private half is gone.
"""

from __future__ import annotations

import contextlib
import json
import secrets
import threading
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Literal, cast

from bradawl.common.errors import ApiError
from bradawl.common.private_files import write_private_file
from bradawl.report.signing.certificates import (
    Certificate,
    SignerError,
    certificate_of,
    certificates_in,
)
from bradawl.report.signing.keys import SHOP_FILE, SigningError, make_key, open_signer

__all__ = ["KNOWN_SIGNERS_FILE", "KnownSigner", "Signers", "known_names"]

KNOWN_SIGNERS_FILE = "known-signers.json"
#: `met`: added by a person; `replaced`: a key of this workshop before its present one; `own`: a
#: key that this workshop had when a backup was made.
Why = Literal["met", "replaced", "own"]
MOST = 500
_FORMAT = 1


@dataclass(frozen=True)
class KnownSigner:
    """A signer that this workshop knows, under the name it gave them, since a day."""

    certificate: Certificate
    name: str
    since: str
    why: Why


def known_names(data: Path) -> dict[str, str]:
    """Names by fingerprint in the file of known signers. Raises SignerError."""
    return {row["fingerprint"]: row["name"] for row in _read(data / KNOWN_SIGNERS_FILE)}


class Signers:
    """Keys in `keys`, known signers in a file below `data`. `today` gives an ISO day."""

    def __init__(
        self,
        data: Path,
        keys: Path,
        today: Callable[[], str] = lambda: datetime.now(UTC).date().isoformat(),
    ) -> None:
        self._file = data / KNOWN_SIGNERS_FILE
        self._keys = keys
        self._today = today
        self._writing = threading.Lock()

    def shop(self) -> Certificate:
        """The workshop's own certificate, its key made on first use. Raises ApiError."""
        try:
            return _certificate(open_signer(self._keys).certificate_pem)
        except SigningError as problem:
            raise SignerError(problem.message.id, **problem.message.arguments) from problem

    def at_the_desk(self) -> list[Certificate]:
        """Of everybody who got a key of their own by signing at this desk, by name."""
        own = [certificate for file, certificate in self._own() if file.name != SHOP_FILE]
        return sorted(own, key=lambda own: (own.name.casefold(), own.fingerprint))

    def known(self) -> list[KnownSigner]:
        """Everybody else whose signature counts as known, by name. Raises ApiError."""
        own = self._own_fingerprints()
        signers = [
            KnownSigner(
                _certificate(row["pem"].encode()), row["name"], row["since"], cast(Why, row["why"])
            )
            for row in _read(self._file)
            if row["fingerprint"] not in own
        ]
        return sorted(
            signers, key=lambda signer: (signer.name.casefold(), signer.certificate.fingerprint)
        )

    def find(self, fingerprint: str) -> Certificate | None:
        """The certificate of any signer listed here."""
        certificates = [certificate for _, certificate in self._own()]
        certificates += [signer.certificate for signer in self.known()]
        return next((listed for listed in certificates if listed.fingerprint == fingerprint), None)

    def look(self, data: bytes) -> list[Certificate]:
        """The signers' certificates in a file: PEM, DER or a signed PDF. Raises ApiError."""
        return certificates_in(data)

    def know(self, pem: str, name: str) -> KnownSigner:
        """Know a signer from now on, under a name of the workshop's choice. Raises ApiError."""
        (certificate,) = certificates_in(pem.encode())[:1]
        if certificate.fingerprint in self._own_fingerprints():
            raise SignerError("report-signer-own")
        tidy = _tidy(name)
        self._add([certificate], "met", tidy)
        return KnownSigner(certificate, tidy, self._today(), "met")

    def forget(self, fingerprint: str) -> str | None:
        """Stop knowing a signer; the name they had, None when nobody has that fingerprint."""
        with self._writing:
            rows = _read(self._file)
            kept = [row for row in rows if row["fingerprint"] != fingerprint]
            if len(kept) < len(rows):
                _write(self._file, kept)
        return next((row["name"] for row in rows if row["fingerprint"] == fingerprint), None)

    def note_own(self) -> None:
        """Keep the certificates of the present keys beside the data, for the day they are lost.

        A list that is damaged or full stays as it is: it must not stand in the way of a backup.
        """
        with contextlib.suppress(ApiError):
            self._add([certificate for _, certificate in self._own()], "own")

    def replace_shop_key(self, name: str) -> Certificate:
        """Give the workshop a new key; its certificate. Raises ApiError.

        The old certificate stays known, so that what it signed still counts. Its private key is
        overwritten: nothing needs it any more. A damaged key is replaced as well.
        """
        tidy = _tidy(name)
        present = [certificate for file, certificate in self._own() if file.name == SHOP_FILE]
        self._add(present, "replaced")
        fresh = self._keys / f".{SHOP_FILE}.{secrets.token_hex(4)}.new"
        try:
            make_key(fresh, tidy)
            fresh.replace(self._keys / SHOP_FILE)
        finally:
            fresh.unlink(missing_ok=True)
        return self.shop()

    def _own_fingerprints(self) -> set[str]:
        return {certificate.fingerprint for _, certificate in self._own()}

    def _own(self) -> list[tuple[Path, Certificate]]:
        """The certificates of the keys that lie here, by their files."""
        own = []
        for file in sorted(self._keys.glob("*.pem")) if self._keys.is_dir() else []:
            # The authority's and the server's certificates lie here too, without a key inside.
            with contextlib.suppress(ApiError, OSError):
                pem = file.read_bytes()
                if b"PRIVATE KEY" in pem:
                    own.append((file, _certificate(pem)))
        return own

    def _add(self, certificates: Sequence[Certificate], why: Why, name: str = "") -> None:
        with self._writing:
            rows = {row["fingerprint"]: row for row in _read(self._file)}
            before = dict(rows)
            for certificate in certificates:
                if why == "own" and certificate.fingerprint in rows:
                    continue
                rows[certificate.fingerprint] = {
                    "name": name or certificate.name,
                    "fingerprint": certificate.fingerprint,
                    "since": self._today(),
                    "why": why,
                    "pem": certificate.pem,
                }
            if len(rows) > MOST:
                raise SignerError("report-signer-most", most=MOST)
            if rows != before:
                _write(self._file, list(rows.values()))


def _certificate(pem: bytes) -> Certificate:
    from cryptography import x509

    try:
        return certificate_of(x509.load_pem_x509_certificate(pem))
    except ValueError as problem:
        raise SignerError("report-signer-damaged") from problem


def _tidy(name: str) -> str:
    tidy = " ".join(name.split())
    if not 1 <= len(tidy) <= 60 or not tidy.isprintable():
        raise SignerError("report-signer-name")
    return tidy


def _read(file: Path) -> list[dict[str, str]]:
    try:
        kept = json.loads(file.read_text(encoding="utf-8"))
        if kept["format"] != _FORMAT:
            raise SignerError("report-signer-newer", file=file.name)
        return list(kept["signers"])
    except FileNotFoundError:
        return []
    except (ValueError, KeyError, TypeError) as problem:
        raise SignerError("report-signer-list-damaged", file=file.name) from problem


def _write(file: Path, signers: Sequence[dict[str, str]]) -> None:
    text = json.dumps({"format": _FORMAT, "signers": list(signers)}, indent=1, ensure_ascii=False)
    write_private_file(file, text.encode())
