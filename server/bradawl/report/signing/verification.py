"""Is a report whole, who signed it, and do its parts belong together: in plain words.

A file from a stranger may be anything, so every step expects it to break, and nothing in it is
trusted before a signature over it holds.
"""

from __future__ import annotations

import hashlib
import io
import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from bradawl.report.model.times import when_of
from bradawl.report.pdf.archival import MANIFEST_NAME, RECORD_NAME
from bradawl.report.signing.record_proof import Known, held_against_seal

_DAMAGED = "The file is damaged: it was changed or cut off after it was made, and cannot be read."
_LISTED = 12
_UNSIGNED = (
    "The file is not signed, so nothing says who made it or whether it was changed. Ask for the "
    "signed file itself, not a print of it."
)


@dataclass(frozen=True)
class SignatureFound:
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
    signatures: list[SignatureFound] = field(default_factory=list)
    known_signer: bool = False
    record_matches: bool | None = None
    report: str = ""
    visit: str = ""


def verify(pdf: bytes, known: Known | None = None) -> Verdict:
    """Check a report. Never raises for what the file contains."""
    known = known or Known()
    if not pdf.lstrip()[:5].startswith(b"%PDF-"):
        return Verdict(False, ["This is not a PDF file, so it cannot be a report."])
    from pyhanko.pdf_utils.reader import PdfFileReader

    try:
        reader = PdfFileReader(io.BytesIO(pdf))
        found = list(reader.embedded_signatures)
    except Exception:  # pyHanko raises many kinds on damaged files
        return Verdict(
            False,
            [_DAMAGED],
        )
    if not found:
        return Verdict(
            False,
            [_UNSIGNED],
        )
    try:
        return _judge(pdf, reader, found, known)
    except Exception:  # as above: a file made to confuse must end as "changed", not as a crash
        return Verdict(
            False, ["The file was changed after it was signed: its structure no longer adds up."]
        )


def _judge(pdf: bytes, reader: Any, found: list[Any], known: Known) -> Verdict:
    found.sort(key=lambda one: one.signed_revision)
    signatures = [_signature(pdf, one, known) for one in found]
    last = found[-1]
    covered = _covered_to_the_end(pdf, last)
    whole = covered and all(one.holds for one in signatures)
    lines = []
    if whole:
        lines.append("The report is whole: nothing in it was changed after it was signed.")
    else:
        lines.append("The report was changed after it was signed. Do not rely on it.")
    if not covered:
        lines.append(
            "Something was added to the file after the last signature, and nobody signed that."
        )
    for at, one in enumerate(signatures):
        lines.append(_who(one, first=at == 0))
        if one.problem:
            lines.append(one.problem)
    if _borrowed_name(signatures[0], known):
        whole = False
        lines[0] = "The report is not what it claims to be. Do not rely on it."
        lines.append(
            f"It bears the name {signatures[0].name}, which this shop knows with another key."
        )
    parts = _parts(reader, found[0]) if signatures[0].holds else None
    matches: bool | None = None
    number = visit = ""
    if parts is not None:
        matches, said, number, visit = _compare(parts, known)
        lines += said
        whole = whole and matches is not False
        if matches is False:
            lines[0] = "The report does not hold together. Do not rely on it."
    newer = known.newer(number) if number else ""
    if newer:
        lines.append(newer)
    return Verdict(
        whole=whole,
        lines=lines,
        signatures=signatures,
        known_signer=signatures[0].known,
        record_matches=matches,
        report=number,
        visit=visit,
    )


def _borrowed_name(issuer: SignatureFound, known: Known) -> bool:
    """Whether somebody issued a file under a name that this shop knows, with a key of their own."""
    return not issuer.known and issuer.name in known.certificates.values()


def _signature(pdf: bytes, embedded: Any, known: Known) -> SignatureFound:
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
    return SignatureFound(
        name=known.certificates.get(fingerprint, name),
        fingerprint=fingerprint,
        when="" if stamped is None else _clock(stamped),
        time_stamp=time_stamp,
        known=fingerprint in known.certificates,
        holds=not problem,
        problem=problem,
    )


def _who(one: SignatureFound, *, first: bool) -> str:
    digits = " ".join(one.fingerprint[at : at + 4] for at in range(0, 16, 4)).upper()
    known = (
        "a key that this shop knows"
        if one.known
        else "a key that this shop does not know: compare the certificate’s digits with its owner"
    )
    when = f" on {one.when}" if one.when else ""
    stamp = f"; time-stamped {one.time_stamp}" if one.time_stamp else ""
    verb = "Issued and signed" if first else "Also signed"
    return f"{verb} by {one.name}{when}{stamp}, with {known} ({digits})."


def _range(embedded: Any) -> tuple[int, int, int, int]:
    numbers = [int(one) for one in embedded.byte_range]
    if len(numbers) != 4:
        raise ValueError("A byte range has four numbers.")
    return numbers[0], numbers[1], numbers[2], numbers[3]


def _hole_is_signature(pdf: bytes, embedded: Any) -> bool:
    """The gap in the signed range holds nothing but the signature: hex digits, then zeros."""
    start, length, after, _ = _range(embedded)
    hole = pdf[length:after]
    if start != 0 or hole[:1] != b"<" or hole[-1:] != b">":
        return False
    content = bytes.fromhex(hole[1:-1].decode("ascii"))
    # DER says how long it is; what follows is padding, and must be empty.
    head = 2 + (content[1] & 0x7F if content[1] & 0x80 else 0)
    size = int.from_bytes(content[2:head], "big") if content[1] & 0x80 else content[1]
    return content[0] == 0x30 and not content[head + size :].strip(b"\0")


def _covered_to_the_end(pdf: bytes, embedded: Any) -> bool:
    _, _, after, rest = _range(embedded)
    return after + rest == len(pdf)


@dataclass(frozen=True)
class _Parts:
    """What the first signature signed: attached files, the pages' contents, the photos."""

    record: bytes | None
    manifest: Mapping[str, Any] | None
    pages: list[str]


def _parts(reader: Any, first: Any) -> _Parts | None:
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
    return _Parts(files.get(RECORD_NAME), manifest, pages)


def _pages(node: Any, depth: int) -> Any:
    if depth > 32:
        raise ValueError("The page tree is too deep.")
    for kid in node.get("/Kids", []):
        kid = kid.get_object()
        if "/Kids" in kid:
            yield from _pages(kid, depth + 1)
        else:
            yield kid


def _compare(parts: _Parts, known: Known) -> tuple[bool | None, list[str], str, str]:
    """Whether record, pages and seal belong together, with sentences, report number and visit."""
    manifest = parts.manifest
    if parts.record is None or manifest is None:
        return False, ["The attached record is missing, so the pages stand alone."], "", ""
    number, visit = str(manifest.get("report") or ""), str(manifest.get("visit") or "")
    if manifest.get("record_sha256") != hashlib.sha256(parts.record).hexdigest():
        return False, ["The attached record is not the one these pages were printed from."], "", ""
    if manifest.get("pages") != parts.pages:
        return (
            False,
            ["The pages are not those that were printed from the attached record."],
            "",
            "",
        )
    record = json.loads(parts.record)
    lines = ["The pages are those that were printed from the attached record."]
    matches, said = held_against_seal(record, known)
    lines += said
    changed = list(record.get("amendments", []))
    for event in changed[:_LISTED]:
        what = _said(str(event["put"]), record.get("titles") or {})
        lines.append(f"Changed after the seal: {what} (recorded {when_of(event['at'])}).")
    if len(changed) > _LISTED:
        lines.append(f"{len(changed) - _LISTED} more entries were changed after the seal.")
    if manifest.get("replaces"):
        lines.append(f"This report replaces {manifest['replaces']}.")
    return matches, lines, number, visit


def _said(path: str, titles: Mapping[str, Any]) -> str:
    """A path in words: the item’s title and what of it."""
    parts = path.split("/")
    if parts[0] == "items" and len(parts) > 2:
        inside = "photo" if parts[2] == "photos" else " ".join(p for p in parts[2:] if p != "one")
        return f"{titles.get(parts[1], parts[1])}, {inside.replace('-', ' ')}"
    return " ".join(parts).replace("_", " ")


def _clock(moment: Any) -> str:
    """A moment as people write it, with its zone."""
    return str(moment.isoformat(sep=" ", timespec="seconds")).replace("+00:00", " UTC")
