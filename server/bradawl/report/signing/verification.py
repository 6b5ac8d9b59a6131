"""Verifies a report: is it whole, who signed it, do its parts belong together; in plain sentences.

A file from a stranger may be anything, so every step expects it to break, and nothing in it is
trusted before a signature over it holds.
"""

from __future__ import annotations

import datetime as dt
import hashlib
import io
import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from bradawl.language import date, moment, text
from bradawl.report.model.texts import path_text, when_of
from bradawl.report.pdf.archival import MANIFEST_NAME, RECORD_NAME
from bradawl.report.signing.certificates import grouped
from bradawl.report.signing.record_proof import TrustStore, check_record

__all__ = ["SignatureCheck", "Verdict", "verify"]

_LISTED = 12  # amendments that are named
_DEEPEST_PAGE = 32  # levels of a page tree


@dataclass(frozen=True)
class SignatureCheck:
    """One signature: who, when (as the signer's clock said), and whether it holds.

    `stamped_when` and `stamp_server` are those of a time stamp, "" without one.
    """

    name: str
    fingerprint: str
    when: str
    stamped_when: str
    stamp_server: str
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
        return Verdict(False, [text("report-verify-no-pdf")])
    from pyhanko.pdf_utils.reader import PdfFileReader

    try:
        reader = PdfFileReader(io.BytesIO(pdf))
        embedded = list(reader.embedded_signatures)
    except Exception:  # pyHanko raises many kinds on damaged files
        return Verdict(False, [text("report-verify-damaged")])
    if not embedded:
        return Verdict(False, [text("report-verify-unsigned")])
    try:
        return _verdict(pdf, reader, embedded, trust or TrustStore())
    except Exception:  # as above: a file made to confuse must end as "changed", not as a crash
        return Verdict(False, [text("report-verify-confused")])


def _verdict(pdf: bytes, reader: Any, embedded: list[Any], trust: TrustStore) -> Verdict:
    embedded.sort(key=lambda signature: signature.signed_revision)
    signatures = [_signature(pdf, signature, trust) for signature in embedded]
    issuer = signatures[0]
    covered = _covered_to_the_end(pdf, embedded[-1])
    whole = covered and all(signature.holds for signature in signatures)
    lines = [text("report-verify-whole" if whole else "report-verify-changed")]
    if not covered:
        lines.append(text("report-verify-added"))
    for signature in signatures:
        lines += _signer_lines(signature, first=signature is issuer)
    # somebody issued a file under a name that this shop knows, with a key of their own
    if not issuer.known and issuer.name in trust.certificates.values():
        whole = False
        lines[0] = text("report-verify-borrowed")
        lines.append(text("report-verify-borrowed-name", name=issuer.name))
    parts = _signed_parts(reader, embedded[0]) if issuer.holds else None
    check = _check_parts(parts, trust) if parts is not None else _PartsCheck(None)
    lines += check.lines
    if check.matches is False:
        whole = False
        lines[0] = text("report-verify-apart")
    newer = trust.newer(check.report) if check.report else None
    if newer is not None:
        made = date(newer.made[:10], long=True)
        lines.append(text("report-verify-newer", number=newer.number, date=made))
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
    name = str(certificate.subject.native.get("common_name") or text("report-verify-key-unnamed"))
    stamped = embedded.self_reported_timestamp
    # Trust is decided by fingerprint, not by a chain: give the validator the signer's own.
    status = validate_pdf_signature(
        embedded,
        ValidationContext(trust_roots=[certificate], allow_fetching=False),
        ValidationContext(trust_roots=[], allow_fetching=False),
    )
    problem = ""
    if not status.intact:
        problem = text("report-verify-not-intact")
    elif not status.valid:
        problem = text("report-verify-not-valid")
    elif not _hole_is_signature(pdf, embedded):
        problem = text("report-verify-not-covered")
    elif status.modification_level is None or (
        status.modification_level > ModificationLevel.FORM_FILLING or status.docmdp_ok is False
    ):
        problem = text("report-verify-something-else")
    token = status.timestamp_validity
    stamped_when = stamp_server = ""
    if token is not None:
        named = token.signing_cert.subject.native.get("common_name")
        stamp_server = str(named or text("report-verify-server-unnamed"))
        stamped_when = _clock(token.timestamp)
        if not (token.intact and token.valid):
            problem = problem or text("report-verify-stamp-bad")
    return SignatureCheck(
        name=trust.certificates.get(fingerprint, name),
        fingerprint=fingerprint,
        when="" if stamped is None else _clock(stamped),
        stamped_when=stamped_when,
        stamp_server=stamp_server,
        known=fingerprint in trust.certificates,
        holds=not problem,
        problem=problem,
    )


def _signer_lines(signature: SignatureCheck, *, first: bool) -> Iterator[str]:
    who = "issued" if first else "also"
    known = "known" if signature.known else "unknown"
    digits = grouped(signature.fingerprint[:16])
    yield text(f"report-verify-{who}-{known}", name=signature.name, digits=digits)
    if signature.when:
        yield text("report-verify-time", name=signature.name, when=signature.when)
    if signature.stamped_when:
        yield text(
            "report-verify-time-stamp",
            when=signature.stamped_when,
            server=signature.stamp_server,
        )
    if signature.problem:
        yield signature.problem


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
        return _PartsCheck(False, [text("report-verify-no-record")])
    if manifest.get("record_sha256") != hashlib.sha256(parts.record).hexdigest():
        return _PartsCheck(False, [text("report-verify-other-record")])
    if manifest.get("pages") != parts.pages:
        return _PartsCheck(False, [text("report-verify-other-pages")])
    record = json.loads(parts.record)
    matches, seal_lines = check_record(record, trust)
    lines = [
        text("report-verify-pages"),
        *seal_lines,
        *_amendment_lines(record),
    ]
    if manifest.get("replaces"):
        lines.append(text("report-verify-replaces", number=str(manifest["replaces"])))
    number, visit = str(manifest.get("report") or ""), str(manifest.get("visit") or "")
    return _PartsCheck(matches, lines, number, visit)


def _amendment_lines(record: Mapping[str, Any]) -> Iterator[str]:
    titles = record.get("titles") or {}
    amendments = list(record.get("amendments", []))
    for event in amendments[:_LISTED]:
        entry = path_text(str(event["put"]), lambda item: str(titles.get(item, item)))
        yield text("report-verify-later", entry=entry, when=when_of(event["at"]))
    if len(amendments) > _LISTED:
        yield text("report-verify-later-more", count=len(amendments) - _LISTED)


def _clock(at: dt.datetime) -> str:
    """A moment as the reader writes it, in the zone in which it was noted."""
    return moment(at, long=True)
