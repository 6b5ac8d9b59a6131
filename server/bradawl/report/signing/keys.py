"""The keys that sign at this workshop, and the signers elsewhere that it knows.

What is known stands in one file beside the ledger, certificates only: it is no secret, travels in
every backup, and outlives the keys. A replaced key leaves its certificate there, so that what it
signed still counts; its private half is gone.
"""

from __future__ import annotations

import contextlib
import json
import os
import secrets
import threading
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Literal, cast

from bradawl.common.errors import ApiError
from bradawl.report.signing.signatures import SHOP_FILE, SigningError, make_key, open_signer

if TYPE_CHECKING:
    from cryptography import x509

KNOWN_NAME = "known-signers.json"
#: `met`: added by a person; `replaced`: a key of this workshop before its present one; `own`: a
#: key that this workshop had when a backup was made.
Why = Literal["met", "replaced", "own"]
MOST = 500
_FORMAT = 1


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
        return " ".join(self.fingerprint[at : at + 4] for at in range(0, 64, 4)).upper()


@dataclass(frozen=True)
class KnownSigner:
    """A signer that this workshop knows, under the name it gave them, since a day."""

    certificate: Certificate
    name: str
    since: str
    why: Why


def read_known(data: Path) -> dict[str, str]:
    """Names by fingerprint in the file of known signers. Raises ApiError."""
    return {one["fingerprint"]: one["name"] for one in _read(data / KNOWN_NAME)}


class Signers:
    """Keys in `keys`, known signers in a file below `data`. `today` gives an ISO day."""

    def __init__(
        self,
        data: Path,
        keys: Path,
        today: Callable[[], str] = lambda: datetime.now(UTC).date().isoformat(),
    ) -> None:
        self._file = data / KNOWN_NAME
        self._keys = keys
        self._today = today
        self._writing = threading.Lock()

    def shop(self) -> Certificate:
        """The workshop's own certificate, its key made on first use. Raises ApiError."""
        try:
            return _certificate(open_signer(self._keys).certificate_pem)
        except SigningError as problem:
            raise _wrong(str(problem)) from problem

    def at_the_desk(self) -> list[Certificate]:
        """Of everybody who got a key of their own by signing at this desk, by name."""
        own = [one for file, one in self._own() if file.name != SHOP_FILE]
        return sorted(own, key=lambda one: (one.name.casefold(), one.fingerprint))

    def known(self) -> list[KnownSigner]:
        """Everybody else whose signature counts as known, by name. Raises ApiError."""
        own = {one.fingerprint for _, one in self._own()}
        listed = [
            KnownSigner(
                _certificate(one["pem"].encode()), one["name"], one["since"], cast(Why, one["why"])
            )
            for one in _read(self._file)
            if one["fingerprint"] not in own
        ]
        return sorted(listed, key=lambda one: (one.name.casefold(), one.certificate.fingerprint))

    def find(self, fingerprint: str) -> Certificate | None:
        """The certificate of any signer listed here."""
        everybody = [one for _, one in self._own()] + [one.certificate for one in self.known()]
        return next((one for one in everybody if one.fingerprint == fingerprint), None)

    def look(self, data: bytes) -> list[Certificate]:
        """The signers' certificates in a file: PEM, DER or a signed PDF. Raises ApiError."""
        return certificates_in(data)

    def know(self, pem: str, name: str) -> KnownSigner:
        """Know a signer from now on, under a name of the workshop's choice. Raises ApiError."""
        (certificate,) = certificates_in(pem.encode())[:1]
        if certificate.fingerprint in {one.fingerprint for _, one in self._own()}:
            raise _wrong("This is a key of this workshop itself; it is known already.")
        tidy = _tidy(name)
        self._add([certificate], "met", tidy)
        return KnownSigner(certificate, tidy, self._today(), "met")

    def forget(self, fingerprint: str) -> str | None:
        """Stop knowing a signer; the name they had, None when nobody has that fingerprint."""
        with self._writing:
            rows = _read(self._file)
            gone = [one for one in rows if one["fingerprint"] == fingerprint]
            if gone:
                _write(self._file, [one for one in rows if one["fingerprint"] != fingerprint])
        return gone[0]["name"] if gone else None

    def note_own(self) -> None:
        """Keep the certificates of the present keys beside the data, for the day they are lost.

        A list that is damaged or full stays as it is: it must not stand in the way of a backup.
        """
        with contextlib.suppress(ApiError):
            self._add([one for _, one in self._own()], "own")

    def replace_shop_key(self, name: str) -> Certificate:
        """Give the workshop a new key; its certificate. Raises ApiError.

        The old certificate stays known, so that what it signed still counts. Its private key is
        overwritten: nothing needs it any more. A damaged key is replaced as well.
        """
        tidy = _tidy(name)
        self._add([one for file, one in self._own() if file.name == SHOP_FILE], "replaced")
        fresh = self._keys / f".{SHOP_FILE}.{secrets.token_hex(4)}.new"
        try:
            make_key(fresh, tidy)
            fresh.replace(self._keys / SHOP_FILE)
        finally:
            fresh.unlink(missing_ok=True)
        return self.shop()

    def _own(self) -> list[tuple[Path, Certificate]]:
        found = []
        for file in sorted(self._keys.glob("*.pem")) if self._keys.is_dir() else []:
            # The authority's and the server's certificates lie here too, without a key inside.
            with contextlib.suppress(ApiError, OSError):
                pem = file.read_bytes()
                if b"PRIVATE KEY" in pem:
                    found.append((file, _certificate(pem)))
        return found

    def _add(self, certificates: Sequence[Certificate], why: Why, name: str = "") -> None:
        with self._writing:
            rows = {one["fingerprint"]: one for one in _read(self._file)}
            before = dict(rows)
            for one in certificates:
                if why == "own" and one.fingerprint in rows:
                    continue
                rows[one.fingerprint] = {
                    "name": name or one.name,
                    "fingerprint": one.fingerprint,
                    "since": self._today(),
                    "why": why,
                    "pem": one.pem,
                }
            if len(rows) > MOST:
                raise _wrong(f"More than {MOST} known signers are not kept; remove some.")
            if rows != before:
                _write(self._file, list(rows.values()))


def certificates_in(data: bytes) -> list[Certificate]:
    """The signers' certificates in a file: PEM, DER, or a signed PDF. Raises ApiError."""
    from cryptography import x509

    if b"PRIVATE KEY-----" in data:
        raise _wrong(
            "This file holds a private key, which nobody should hand out. Ask its owner for the "
            "certificate alone, and tell them that the key must be replaced."
        )
    if data.lstrip()[:5] == b"%PDF-":
        return _in_pdf(data)
    try:
        if b"-----BEGIN CERTIFICATE-----" in data:
            found = x509.load_pem_x509_certificates(data)
        else:
            found = [x509.load_der_x509_certificate(data)]
    except ValueError as problem:
        raise _wrong(
            "This is neither a certificate (PEM or DER) nor a signed PDF. Ask the signer for the "
            "certificate that goes with their reports, or take one of the reports themselves."
        ) from problem
    return [_of(one) for one in found]


def _in_pdf(data: bytes) -> list[Certificate]:
    import io

    from cryptography import x509
    from pyhanko.pdf_utils.reader import PdfFileReader

    try:
        reader = PdfFileReader(io.BytesIO(data))
        found = [one.signer_cert.dump() for one in reader.embedded_signatures]
        certificates = [_of(x509.load_der_x509_certificate(one)) for one in found]
    except Exception as problem:  # a stranger's file may break anywhere in the parser
        raise _wrong("This PDF is damaged; nothing can be read from it.") from problem
    if not certificates:
        raise _wrong("This PDF is not signed, so it names no signer.")
    return certificates


def _certificate(pem: bytes) -> Certificate:
    from cryptography import x509

    try:
        return _of(x509.load_pem_x509_certificate(pem))
    except ValueError as problem:
        raise _wrong("A certificate kept here is damaged.") from problem


def _of(certificate: x509.Certificate) -> Certificate:
    from cryptography.hazmat.primitives import hashes, serialization
    from cryptography.x509.oid import NameOID

    names = certificate.subject.get_attributes_for_oid(NameOID.COMMON_NAME)
    return Certificate(
        name=str(names[0].value) if names else "Unnamed",
        fingerprint=certificate.fingerprint(hashes.SHA256()).hex(),
        begins=certificate.not_valid_before_utc.date().isoformat(),
        ends=certificate.not_valid_after_utc.date().isoformat(),
        pem=certificate.public_bytes(serialization.Encoding.PEM).decode(),
    )


def _tidy(name: str) -> str:
    tidy = " ".join(name.split())
    if not 1 <= len(tidy) <= 60 or not tidy.isprintable():
        raise _wrong("A signer's name has 1 to 60 letters.")
    return tidy


def _read(file: Path) -> list[dict[str, str]]:
    try:
        kept = json.loads(file.read_text(encoding="utf-8"))
        if kept["format"] != _FORMAT:
            raise _wrong(f"{file.name} was written by a newer Bradawl than this one.")
        return list(kept["signers"])
    except FileNotFoundError:
        return []
    except (ValueError, KeyError, TypeError) as problem:
        raise _wrong(
            f"The list of known signers ({file.name}) is damaged. Put it back from a backup, or "
            "remove it: signers elsewhere then count as unknown until they are added again."
        ) from problem


def _write(file: Path, signers: Sequence[dict[str, str]]) -> None:
    text = json.dumps({"format": _FORMAT, "signers": list(signers)}, indent=1, ensure_ascii=False)
    draft = file.with_name(f".{file.name}.{secrets.token_hex(4)}")
    descriptor = os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    try:
        with os.fdopen(descriptor, "w", encoding="utf-8") as out:
            out.write(text)
            out.flush()
            os.fsync(out.fileno())
        draft.replace(file)
    finally:
        draft.unlink(missing_ok=True)


def _wrong(sentence: str) -> ApiError:
    return ApiError("signer", sentence, 422)
