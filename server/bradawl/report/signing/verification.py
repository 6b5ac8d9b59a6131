"""Verifies a report: is it whole, who signed it, do its parts belong together; in plain sentences.

A file from a stranger may be anything, so every step expects it to break, and nothing in it is
trusted before a signature over it holds.
"""

from __future__ import annotations

import hashlib
import io
import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from bradawl.report.model.texts import path_text, when_of
from bradawl.report.pdf.archival import MANIFEST_NAME, RECORD_NAME
from bradawl.report.signing.record_proof import TrustStore, check_record

__all__ = ["SignatureCheck", "Verdict", "verify"]

_DAMAGED = "The file is damaged: it was changed or cut off after it was made, and cannot be read."
_UNSIGNED = (
    "The file is not signed, so nothing says who made it or whether it was changed. Ask for the "
    "signed file itself, not a print of it."
)
_CONFUSED = "The file was changed after it was signed: its structure no longer adds up."
_LISTED = 12  # amendments that are named
_DEEPEST_PAGE = 32  # levels of a page tree


@dataclass(frozen=True)
class SignatureCheck:
    """One signature: who, when (as the signer's clock said), and whether it holds."""

    name: str
    fingerprint: str
    when: str
    time_stamp: str
    known: bool
    holds: bool
    problem: str


@dataclass(frozen=True)
class Verdict:
    """`whole` is True when every signature holds and nothing was added beside them.

    `lines` are sentences for the person who asked, the most important first. `known_signer` says
    whether this shop knows whoever issued the file; `record_matches` is None when there is
    nothing to compare with.
    """

    whole: bool
    lines: list[str]
    signatures: list[SignatureCheck] = field(default_factory=list)
    known_signer: bool = False
    record_matches: bool | None = None
    report: str = ""
    visit: str = ""


def verify(pdf: bytes, trust: TrustStore | None = None) -> Verdict:
    """Check a report. Never raises for what the file contains."""
    if not pdf.lstrip()[:5].startswith(b"%PDF-"):
        return Verdict(False, ["This is not a PDF file, so it cannot be a report."])
    from pyhanko.pdf_utils.reader import PdfFileReader

    try:
        reader = PdfFileReader(io.BytesIO(pdf))
        embedded = list(reader.embedded_signatures)
    except Exception:  # pyHanko raises many kinds on damaged files
        return Verdict(False, [_DAMAGED])
    if not embedded:
        return Verdict(False, [_UNSIGNED])
    try:
        return _verdict(pdf, reader, embedded, trust or TrustStore())
    except Exception:  # as above: a file made to confuse must end as "changed", not as a crash
        return Verdict(False, [_CONFUSED])


def _verdict(pdf: bytes, reader: Any, embedded: list[Any], trust: TrustStore) -> Verdict:
    embedded.sort(key=lambda signature: signature.signed_revision)
    signatures = [_signature(pdf, signature, trust) for signature in embedded]
    issuer = signatures[0]
    covered = _covered_to_the_end(pdf, embedded[-1])
    whole = covered and all(signature.holds for signature in signatures)
    if whole:
        lines = ["The report is whole: nothing in it was changed after it was signed."]
    else:
        lines = ["The report was changed after it was signed. Do not rely on it."]
    if not covered:
        lines.append(
            "Something was added to the file after the last signature, and nobody signed that."
        )
    for signature in signatures:
        lines.append(_signer_line(signature, first=signature is issuer))
        if signature.problem:
            lines.append(signature.problem)
    # somebody issued a file under a name that this shop knows, with a key of their own
    if not issuer.known and issuer.name in trust.certificates.values():
        whole = False
        lines[0] = "The report is not what it claims to be. Do not rely on it."
        lines.append(f"It bears the name {issuer.name}, which this shop knows with another key.")
    parts = _signed_parts(reader, embedded[0]) if issuer.holds else None
    check = _check_parts(parts, trust) if parts is not None else _PartsCheck(None)
    lines += check.lines
    if check.matches is False:
        whole = False
        lines[0] = "The report does not hold together. Do not rely on it."
    newer = trust.newer(check.report) if check.report else ""
    if newer:
        lines.append(newer)
    return Verdict(
        whole=whole,
        lines=lines,
        signatures=signatures,
        known_signer=issuer.known,
        record_matches=check.matches,
        report=check.report,
        visit=check.visit,
    )


def _signature(pdf: bytes, embedded: Any, trust: TrustStore) -> SignatureCheck:
    from pyhanko.sign.diff_analysis import ModificationLevel
    from pyhanko.sign.validation import validate_pdf_signature
    from pyhanko_certvalidator import ValidationContext

    certificate = embedded.signer_cert
    fingerprint = hashlib.sha256(certificate.dump()).hexdigest()
    name = str(certificate.subject.native.get("common_name") or "an unnamed key")
    stamped = embedded.self_reported_timestamp
    # Trust is decided by fingerprint, not by a chain: give the validator the signer's own.
    status = validate_pdf_signature(
        embedded,
        ValidationContext(trust_roots=[certificate], allow_fetching=False),
        ValidationContext(trust_roots=[], allow_fetching=False),
    )
    problem = ""
    if not status.intact:
        problem = "The signed part of the file is not what was signed."
    elif not status.valid:
        problem = "The signature itself is not valid: it was not made with this person’s key."
    elif not _hole_is_signature(pdf, embedded):
        problem = "The signature does not cover the file as it should."
    elif status.modification_level is None or (
        status.modification_level > ModificationLevel.FORM_FILLING or status.docmdp_ok is False
    ):
        problem = (
            "After this signature something else than a further signature was added, such as a "
            "page laid over another."
        )
    token = status.timestamp_validity
    time_stamp = ""
    if token is not None:
        server = str(token.signing_cert.subject.native.get("common_name") or "an unnamed server")
        time_stamp = f"{_clock(token.timestamp)} by {server}"
        if not (token.intact and token.valid):
            problem = problem or "The time stamp on this signature is not valid."
    return SignatureCheck(
        name=trust.certificates.get(fingerprint, name),
        fingerprint=fingerprint,
        when="" if stamped is None else _clock(stamped),
        time_stamp=time_stamp,
        known=fingerprint in trust.certificates,
        holds=not problem,
        problem=problem,
    )


def _signer_line(signature: SignatureCheck, *, first: bool) -> str:
    digits = " ".join(signature.fingerprint[at : at + 4] for at in range(0, 16, 4)).upper()
    key = (
        "a key that this shop knows"
        if signature.known
        else "a key that this shop does not know: compare the certificate’s digits with its owner"
    )
    when = f" on {signature.when}" if signature.when else ""
    stamp = f"; time-stamped {signature.time_stamp}" if signature.time_stamp else ""
    verb = "Issued and signed" if first else "Also signed"
    return f"{verb} by {signature.name}{when}{stamp}, with {key} ({digits})."


def _byte_range(embedded: Any) -> tuple[int, int, int, int]:
    """Where the signed bytes begin, how many, where they go on, how many (ISO 32000-1, 12.8.1)."""
    start, length, resumes, rest = (int(number) for number in embedded.byte_range)
    return start, length, resumes, rest


def _hole_is_signature(pdf: bytes, embedded: Any) -> bool:
    """The gap in the signed range holds nothing but the signature: hex digits, then zeros."""
    start, length, resumes, _ = _byte_range(embedded)
    hole = pdf[length:resumes]
    if start != 0 or hole[:1] != b"<" or hole[-1:] != b">":
        return False
    content = bytes.fromhex(hole[1:-1].decode("ascii"))
    # DER says how long it is; what follows is padding, and must be empty.
    head = 2 + (content[1] & 0x7F if content[1] & 0x80 else 0)
    size = int.from_bytes(content[2:head], "big") if content[1] & 0x80 else content[1]
    return content[0] == 0x30 and not content[head + size :].strip(b"\0")


def _covered_to_the_end(pdf: bytes, embedded: Any) -> bool:
    _, _, resumes, rest = _byte_range(embedded)
    return resumes + rest == len(pdf)


@dataclass(frozen=True)
class _SignedParts:
    """What the first signature signed: attached files, the pages' contents, the photos."""

    record: bytes | None
    manifest: Mapping[str, Any] | None
    pages: list[str]


def _signed_parts(reader: Any, first: Any) -> _SignedParts | None:
    root = reader.get_historical_root(first.signed_revision)
    files: dict[str, bytes] = {}
    for entry in root.get("/AF", []):
        entry = entry.get_object()
        files[str(entry["/UF"])] = entry["/EF"]["/F"].data
    if RECORD_NAME not in files and MANIFEST_NAME not in files:
        return None
    manifest = None
    if MANIFEST_NAME in files:
        loaded = json.loads(files[MANIFEST_NAME])
        manifest = loaded if isinstance(loaded, Mapping) else None
    pages = [
        hashlib.sha256(page["/Contents"].encoded_data).hexdigest()
        for page in _pages(root["/Pages"], 0)
    ]
    return _SignedParts(files.get(RECORD_NAME), manifest, pages)


def _pages(node: Any, depth: int) -> Iterator[Any]:
    if depth > _DEEPEST_PAGE:
        raise ValueError("The page tree is too deep.")
    for kid in node.get("/Kids", []):
        kid = kid.get_object()
        if "/Kids" in kid:
            yield from _pages(kid, depth + 1)
        else:
            yield kid


@dataclass(frozen=True)
class _PartsCheck:
    """Whether record, pages and seal belong together, and which report they say this is."""

    matches: bool | None
    lines: list[str] = field(default_factory=list)
    report: str = ""
    visit: str = ""


def _check_parts(parts: _SignedParts, trust: TrustStore) -> _PartsCheck:
    manifest = parts.manifest
    if parts.record is None or manifest is None:
        return _PartsCheck(False, ["The attached record is missing, so the pages stand alone."])
    if manifest.get("record_sha256") != hashlib.sha256(parts.record).hexdigest():
        text = "The attached record is not the one these pages were printed from."
        return _PartsCheck(False, [text])
    if manifest.get("pages") != parts.pages:
        text = "The pages are not those that were printed from the attached record."
        return _PartsCheck(False, [text])
    record = json.loads(parts.record)
    matches, seal_lines = check_record(record, trust)
    lines = [
        "The pages are those that were printed from the attached record.",
        *seal_lines,
        *_amendment_lines(record),
    ]
    if manifest.get("replaces"):
        lines.append(f"This report replaces {manifest['replaces']}.")
    number, visit = str(manifest.get("report") or ""), str(manifest.get("visit") or "")
    return _PartsCheck(matches, lines, number, visit)


def _amendment_lines(record: Mapping[str, Any]) -> Iterator[str]:
    titles = record.get("titles") or {}
    amendments = list(record.get("amendments", []))
    for event in amendments[:_LISTED]:
        entry = path_text(str(event["put"]), lambda item: str(titles.get(item, item)), ", ")
        yield f"Changed after the seal: {entry} (recorded {when_of(event['at'])})."
    if len(amendments) > _LISTED:
        yield f"{len(amendments) - _LISTED} more entries were changed after the seal."


def _clock(moment: Any) -> str:
    """A moment as people write it, with its zone."""
    return str(moment.isoformat(sep=" ", timespec="seconds")).replace("+00:00", " UTC")
