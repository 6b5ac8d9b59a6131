"""The signers that this workshop knows: its own keys' certificates, and those of others.

What is known stands in one file beside the ledger, certificates only: it is no secret, travels in
every backup, and outlives the keys. A replaced key leaves its certificate there with the day, so
that what it signed before still counts; its private half is gone. A key that was lost has the day
from which on nothing that it signed counts.
"""

from __future__ import annotations

import contextlib
import json
import secrets
import threading
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime
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
from bradawl.report.signing.trust_store import KnownKey

__all__ = ["KNOWN_SIGNERS_FILE", "KnownSigner", "Signers", "known_keys"]

KNOWN_SIGNERS_FILE = "known-signers.json"
#: `met`: added by a person; `replaced`: a key of this workshop before its present one; `own`: a
#: key that this workshop had when a backup was made.
Why = Literal["met", "replaced", "own"]
MOST = 500
_FORMAT = 1


@dataclass(frozen=True)
class KnownSigner:
    """A signer that this workshop knows, under the name it gave them, since a day.

    `until` is the day on which a key of this workshop was replaced, `lost` the day from which on it
    may have been in other hands; "" where neither was.
    """

    certificate: Certificate
    name: str
    since: str
    why: Why
    until: str = ""
    lost: str = ""


def known_keys(data: Path) -> dict[str, KnownKey]:
    """What the file of known signers says, by fingerprint. Raises SignerError."""
    return {
        row["fingerprint"]: KnownKey(
            row["name"],
            own=row["why"] != "met",
            retired=row.get("until", ""),
            lost=row.get("lost", ""),
        )
        for row in _read(data / KNOWN_SIGNERS_FILE)
    }


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

    def known(self) -> list[KnownSigner]:
        """Everybody else whose signature counts as known, by name. Raises ApiError."""
        own = self._own_fingerprints()
        signers = [_signer(row) for row in _read(self._file) if row["fingerprint"] not in own]
        return sorted(
            signers, key=lambda signer: (signer.name.casefold(), signer.certificate.fingerprint)
        )

    def published(self) -> list[dict[str, str]]:
        """The keys of this workshop, for its check page: the one in use and those before it.

        Each row has `fingerprint`, `name`, `from` (ISO day), and `until` and `lost`, days or "".
        Raises ApiError.
        """
        shop = self.shop()
        rows = [row for row in _read(self._file) if row["why"] != "met"]
        present = {"name": shop.name, "fingerprint": shop.fingerprint, "pem": shop.pem}
        rows = [present, *(row for row in rows if row["fingerprint"] != shop.fingerprint)]
        return [
            {
                "fingerprint": row["fingerprint"],
                "name": row["name"],
                "from": _certificate(row["pem"].encode()).begins,
                "until": row.get("until", ""),
                "lost": row.get("lost", ""),
            }
            for row in rows
        ]

    def find(self, fingerprint: str) -> Certificate | None:
        """The certificate of any signer listed here."""
        certificates = self._own()
        certificates += [signer.certificate for signer in self.known()]
        return next((listed for listed in certificates if listed.fingerprint == fingerprint), None)

    def look(self, data: bytes) -> list[Certificate]:
        """The signers' certificates in a file: PEM, DER or a signed PDF. Raises ApiError."""
        return certificates_in(data)

    def know(self, pem: str, name: str) -> KnownSigner:
        """Know a signer from now on, under a name of the workshop's choice. Raises ApiError."""
        (certificate,) = certificates_in(pem.encode())[:1]
        former = {row["fingerprint"] for row in _read(self._file) if row["why"] != "met"}
        if certificate.fingerprint in self._own_fingerprints() | former:
            raise SignerError("report-signer-own")
        tidy = _tidy(name)
        self._add([certificate], "met", tidy)
        return KnownSigner(certificate, tidy, self._today(), "met")

    def forget(self, fingerprint: str) -> str | None:
        """Stop knowing a signer; the name they had, None when nobody has that fingerprint.

        A lost key stays: its reports would be a stranger's otherwise, not forgeries.
        """
        with self._writing:
            rows = _read(self._file)
            kept = [row for row in rows if row["fingerprint"] != fingerprint or row.get("lost")]
            if len(kept) < len(rows):
                _write(self._file, kept)
        return next((row["name"] for row in rows if row not in kept), None)

    def note_own(self) -> None:
        """Keep the certificates of the present keys beside the data, for the day they are lost.

        A list that is damaged or full stays as it is: it must not stand in the way of a backup.
        """
        with contextlib.suppress(ApiError):
            self._add(self._own(), "own")

    def replace_shop_key(self, name: str) -> Certificate:
        """Give the workshop a new key; its certificate. Raises ApiError.

        The old certificate stays known, so that what it signed still counts. Its private key is
        overwritten: nothing needs it any more. A damaged key is replaced as well.
        """
        tidy = _tidy(name)
        self._add(self._own(), "replaced")
        fresh = self._keys / f".{SHOP_FILE}.{secrets.token_hex(4)}.new"
        try:
            make_key(fresh, tidy)
            fresh.replace(self._keys / SHOP_FILE)
        finally:
            fresh.unlink(missing_ok=True)
        return self.shop()

    def declare_lost(self, fingerprint: str, since: str) -> str:
        """Let nothing count that a key of this workshop signed from a day on; its name.

        The key in use is replaced first: whoever has it too could go on signing. Raises ApiError.
        """
        try:
            day = date.fromisoformat(since).isoformat()
        except ValueError as problem:
            raise SignerError("report-signer-lost-day") from problem
        if day > self._today():
            raise SignerError("report-signer-lost-day")
        if fingerprint in self._own_fingerprints():
            self.replace_shop_key(self.shop().name)
        with self._writing:
            rows = _read(self._file)
            lost = [
                row for row in rows if row["fingerprint"] == fingerprint and row["why"] != "met"
            ]
            for row in lost:  # an earlier day stays: what was not trusted is not trusted again
                row["lost"] = min(day, row.get("lost") or day)
            if not lost:
                raise SignerError("report-signer-not-own")
            _write(self._file, rows)
        return lost[0]["name"]

    def _own_fingerprints(self) -> set[str]:
        return {certificate.fingerprint for certificate in self._own()}

    def _own(self) -> list[Certificate]:
        """The certificate of the workshop's key, where it lies here and can be read."""
        file = self._keys / SHOP_FILE
        with contextlib.suppress(ApiError, OSError):
            return [_certificate(file.read_bytes())]
        return []

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
                    "until": self._today() if why == "replaced" else "",
                    "lost": rows.get(certificate.fingerprint, {}).get("lost", ""),
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


def _signer(row: dict[str, str]) -> KnownSigner:
    return KnownSigner(
        _certificate(row["pem"].encode()),
        row["name"],
        row["since"],
        cast(Why, row["why"]),
        row.get("until", ""),
        row.get("lost", ""),
    )


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
