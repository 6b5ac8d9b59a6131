"""Checks where a report's signatures lie, and that whoever signed later added nothing but that.

A later signature fills one of the empty fields that the shop made. Nothing of the pages, the form,
the attachments or what the file says of itself may change: in such a field nothing is drawn, and
its reasons are the form's.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from bradawl.language import Message, message
from bradawl.report.checking.metadata import statements
from bradawl.report.checking.pdf_syntax import Reference, Stream, SyntaxFault
from bradawl.report.checking.revisions import Document, Revision, object_at

__all__ = ["Placed", "additions_problem", "place_problems", "placed_signatures"]

_GAP = re.compile(rb"<(?:[0-9A-F]{2})*>|<(?:[0-9a-f]{2})*>")
_ISSUER_GAP = re.compile(rb"<(?:[0-9A-F]{2})*>")
_BLANKS = re.compile(rb"[\r\n ]*")
_OBJECT_END = re.compile(rb"[\r\n ]*(?:endstream[\r\n ]+)?endobj(?=[\r\n ])")
#: What a signature may say of itself (ISO 32000-1, table 252); the rest could steer a reader.
_SIGNATURE_KEYS = frozenset(
    {"Type", "Filter", "SubFilter", "Contents", "ByteRange", "M", "Name", "Reason", "Location",
     "ContactInfo", "Prop_Build", "Prop_AuthTime", "Prop_AuthType"}
)  # fmt: skip
_METHODS = ("ETSI.CAdES.detached", "adbe.pkcs7.detached")


@dataclass(frozen=True)
class Placed:
    """A signature in its field: the field's number and name, what it says, where it ends."""

    number: int
    field: str
    said: Mapping[str, Any]
    hole: tuple[int, int]
    end: int


def fields_of(document: Document) -> dict[int, dict[str, Any]]:
    """The form's fields by object number. Raises SyntaxFault for a form of another build."""
    form = document.get(document.root.get("AcroForm"))
    if form is None:
        return {}
    if not isinstance(form, dict):
        raise SyntaxFault("a form that is none")
    fields: dict[int, dict[str, Any]] = {}
    for entry in document.get(form.get("Fields")) or ():
        if not isinstance(entry, Reference) or entry.number in fields:
            raise SyntaxFault("a field twice, or in the form itself")
        fields[entry.number] = document.dictionary(entry)
    return fields


def placed_signatures(document: Document) -> list[Placed]:
    """The signatures in the file's form, the first to sign first. Raises SyntaxFault."""
    placed = []
    for number, field in fields_of(document).items():
        if field.get("V") is None:
            continue
        said = document.dictionary(field["V"])
        ranges = said.get("ByteRange")
        if (
            not isinstance(ranges, list)
            or len(ranges) != 4
            or not all(isinstance(one, int) and one >= 0 for one in ranges)
            or ranges[0] != 0
            or not 0 < ranges[1] < ranges[2]
        ):
            raise SyntaxFault("a byte range that is none")
        name = field.get("T")
        placed.append(
            Placed(
                number,
                name.decode("latin-1") if isinstance(name, bytes) else "",
                said,
                (ranges[1], ranges[2]),
                ranges[2] + ranges[3],
            )
        )
    return sorted(placed, key=lambda one: one.end)


def place_problems(
    data: bytes, revisions: Sequence[Revision], placed: Sequence[Placed]
) -> Iterator[Message]:
    """What is wrong with what the signatures cover: each all before it, the last one the file."""
    for at, signature in enumerate(placed):
        begin, end = signature.hole
        hole = data[begin:end]
        gap = _ISSUER_GAP if at == 0 else _GAP
        if (
            hole[:1] != b"<"
            or hole[-1:] != b">"
            or bytes.fromhex(_digits(hole)) != signature.said.get("Contents")
        ):
            yield message("report-verify-not-covered")
        elif gap.fullmatch(hole) is None:
            yield message("report-verify-hex")
        if signature.said.get("SubFilter") not in (_METHODS[:1] if at == 0 else _METHODS):
            yield message("report-verify-method")
    if placed[-1].end < len(data):
        yield message("report-verify-added")
    elif placed[-1].end > len(data):
        yield message("report-verify-cut-off")
    if len(revisions) != len(placed) + 1:
        yield message("report-verify-revisions", revisions=len(revisions), signatures=len(placed))
        return
    for signature, revision in zip(placed, revisions[1:], strict=True):
        covered = signature.hole[1] <= revision.table and revision.end <= signature.end
        if not covered or data[revision.end : signature.end].strip(b"\r\n"):
            yield message("report-verify-not-covered")


def _digits(hole: bytes) -> str:
    digits = hole[1:-1].decode("latin-1")
    return digits if re.fullmatch(r"(?:[0-9A-Fa-f]{2})*", digits) else ""


def additions_problem(
    data: bytes, revisions: Sequence[Revision], placed: Sequence[Placed], at: int
) -> Message | None:
    """What the signature of that index (from 1) added beside itself; None when nothing."""
    before = Document(data, list(revisions[: at + 1]))
    after = Document(data, list(revisions[: at + 2]))
    revision, signature = revisions[at + 1], placed[at]
    if not _is_tight(data, revision, placed[at - 1].end):
        return message("report-verify-gaps")
    old, new = fields_of(before), fields_of(after)
    filled = [number for number, field in new.items() if field.get("V") is not None]
    emptied = [number for number, field in old.items() if field.get("V") is None]
    if old.keys() != new.keys() or signature.number not in emptied or len(filled) != at + 1:
        return message("report-verify-something-else")
    for number in revision.rows:
        was, now = before.object(number), after.object(number)
        if (
            number
            and number in before.offsets
            and not _may_become(before, after, signature, number, was, now)
        ):
            if number in old:
                return message("report-verify-field")
            return message("report-verify-something-else")
    fresh = {number for number in revision.rows if number and number not in before.offsets}
    if not fresh <= _below(after, after.dictionary(new[signature.number]).get("V"), fresh):
        return message("report-verify-something-else")
    for key in ("Root", "Info"):
        if before.trailer.get(key) != after.trailer.get(key):
            return message("report-verify-something-else")
    return _form_problem(before, old[signature.number], signature)


def _below(document: Document, value: Any, among: set[int]) -> set[int]:
    """Which of these objects a value leads to."""
    if isinstance(value, Reference):
        if value.number not in among:
            return set()
        found = document.object(value.number)
        return {value.number} | _below(document, found, among - {value.number})
    if isinstance(value, Stream):
        return _below(document, value.dictionary, among)
    inside = value.values() if isinstance(value, dict) else value if isinstance(value, list) else ()
    return {number for one in inside for number in _below(document, one, among)}


def _is_tight(data: bytes, revision: Revision, begin: int) -> bool:
    """Whether an addition is its objects and its table, one behind the other, and nothing else."""
    if any(at is None and number for number, at in revision.rows.items()):
        return False
    at = begin
    for number, offset in sorted(
        ((number, offset) for number, offset in revision.rows.items() if offset is not None),
        key=lambda row: row[1],
    ):
        if _after_blanks(data, at) != offset:
            return False
        value, at = object_at(data, offset, number)
        if isinstance(value, Stream):
            size = value.dictionary.get("Length")
            if not isinstance(size, int) or size < 0:
                return False
            at += size
        end = _OBJECT_END.match(data, at)
        if end is None:
            return False
        at = end.end()
    return _after_blanks(data, at) == revision.table


def _after_blanks(data: bytes, at: int) -> int:
    found = _BLANKS.match(data, at)
    return found.end() if found else at


def _may_become(
    before: Document, after: Document, signature: Placed, number: int, was: Any, now: Any
) -> bool:
    """Whether an object may be written anew as it was."""
    if isinstance(was, Stream) and isinstance(now, Stream):
        same = before.root.get("Metadata") == Reference(number, 0)
        return same and statements(before.content(was)) == statements(after.content(now))
    if type(was) is not type(now):
        return False
    if not isinstance(was, dict):
        return bool(was == now)
    may_change: tuple[str, ...] = ()
    if number == signature.number:
        may_change = ("V",)
    elif before.root.get("AcroForm") == Reference(number, 0):
        may_change = ("SigFlags",)
    elif before.trailer.get("Root") == Reference(number, 0):
        may_change = ("Version", "Extensions")
    elif before.trailer.get("Info") == Reference(number, 0):
        may_change = ("ModDate", "Producer")
    return {key: value for key, value in was.items() if key not in may_change} == {
        key: value for key, value in now.items() if key not in may_change
    }


def _form_problem(before: Document, field: Mapping[str, Any], signature: Placed) -> Message | None:
    """What a signature says that the form does not offer; its reasons stand in the field."""
    if not signature.said.keys() <= _SIGNATURE_KEYS:
        return message("report-verify-own-words")
    offered = before.get(before.dictionary(field["SV"]).get("Reasons")) if "SV" in field else []
    reason = signature.said.get("Reason") or b""
    if (
        (reason and _text(reason) not in [_text(one) for one in offered or ()])
        or signature.said.get("Location")
        or signature.said.get("ContactInfo")
    ):
        return message("report-verify-own-words")
    return None


def _text(raw: Any) -> str:
    """A text string (ISO 32000-1, 7.9.2.2)."""
    if not isinstance(raw, bytes):
        return ""
    if raw[:2] == b"\xfe\xff":
        return raw[2:].decode("utf-16-be", "replace")
    return raw.decode("utf-8" if raw[:3] == b"\xef\xbb\xbf" else "latin-1", "replace")
