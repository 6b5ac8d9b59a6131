"""Reads what the shop signed: attached files, pages, and whatever a report may not hold.

All from the issuer's own revision of the file, so that nobody who signed later has a word in it.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from bradawl.language import Message, message
from bradawl.report.checking.additions import fields_of
from bradawl.report.checking.pdf_syntax import Name, Reference, Stream, SyntaxFault
from bradawl.report.checking.revisions import Document
from bradawl.report.pdf.archival import MANIFEST_NAME, RECORD_NAME
from bradawl.report.signing.signatures import LATER_FIELDS, SHOP_FIELD

__all__ = ["Parts", "attached_files", "foreign_problems", "parts_problems", "read_parts"]

#: Entries of the catalog that act, hide or replace what the pages show (ISO 32000-1, table 28).
_ACTING = {
    "OCProperties": "report-verify-layers",
    "OpenAction": "report-verify-actions",
    "AA": "report-verify-actions",
    "Collection": "report-verify-actions",
    "Requirements": "report-verify-actions",
}
#: What a report's catalog has, and what of its names leads within it. A reader may do or show more
#: by any other entry, and none of the rest is compared with the record.
_CATALOG = frozenset(
    {"AF", "AcroForm", "Extensions", "Lang", "MarkInfo", "Metadata", "Names", "Outlines",
     "OutputIntents", "PageLabels", "PageMode", "Pages", "Perms", "StructTreeRoot", "Type",
     "Version", "ViewerPreferences"}
)  # fmt: skip
_NAMES = frozenset({"EmbeddedFiles", "Dests"})
_FORM_KEYS = frozenset({"Fields", "SigFlags", "DA", "DR", "NeedAppearances"})
#: What a signature's field has; without a place nothing of it is drawn, and it does nothing.
_FIELD_KEYS = frozenset(
    {"AP", "Contents", "F", "FT", "Ff", "Lock", "P", "Rect", "SV", "StructParent", "Subtype", "T",
     "TU", "Type", "V"}
)  # fmt: skip
_PAGE_ACTING = ("AA", "PresSteps", "SeparationInfo", "B")
#: What a link of a report may do: go to a page, open an address.
_LINKS = ("GoTo", "URI")


@dataclass(frozen=True)
class Parts:
    """The attached record and manifest, and the digests of the pages' contents, in order."""

    record: Mapping[str, Any]
    manifest: Mapping[str, Any]
    record_sha256: str
    pages: list[str]


def attached_files(document: Document) -> Iterator[tuple[str, bytes]]:
    """The attached files by name, each as often as it is attached. Raises SyntaxFault."""
    for entry in document.get(document.root.get("AF")) or ():
        specification = document.dictionary(entry)
        name = specification.get("UF")
        files = document.dictionary(specification.get("EF"))
        if not isinstance(name, bytes) or files.get("F") != files.get("UF", files.get("F")):
            raise SyntaxFault("an attachment with two contents")
        yield name.decode("latin-1"), document.content(files.get("F"))


def read_parts(document: Document) -> tuple[Parts | None, list[Message]]:
    """What belongs to a report, and what is wrong with it. Raises for what cannot be read."""
    files: dict[str, bytes] = {}
    problems = []
    for name, content in attached_files(document):
        if name in files:
            problems.append(message("report-verify-attached-twice"))
        files[name] = content
    names = document.get(document.root.get("Names")) or {}
    tree = document.get(names.get("EmbeddedFiles")) or {}
    listed = document.get(tree.get("Names")) or []
    associated = document.get(document.root.get("AF")) or []
    elsewhere = [listed[at] for at in range(1, len(listed), 2)] != list(associated)
    if elsewhere or "Kids" in tree or files.keys() - {RECORD_NAME, MANIFEST_NAME}:
        problems.append(message("report-verify-attached-more"))
    if RECORD_NAME not in files or MANIFEST_NAME not in files:
        return None, [*problems, message("report-verify-no-record")]
    record, manifest = (_json(files[name]) for name in (RECORD_NAME, MANIFEST_NAME))
    digests = [
        hashlib.sha256(document.raw(page.get("Contents"))).hexdigest() for page in document.pages()
    ]
    parts = Parts(record, manifest, hashlib.sha256(files[RECORD_NAME]).hexdigest(), digests)
    return parts, problems


def _json(data: bytes) -> Mapping[str, Any]:
    """A JSON object in which no key stands twice. Raises ValueError."""

    def once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        found = dict(pairs)
        if len(found) != len(pairs):
            raise ValueError("A key stands twice.")
        return found

    loaded = json.loads(data, object_pairs_hook=once)
    if not isinstance(loaded, Mapping):
        raise ValueError("No object.")
    return loaded


def parts_problems(parts: Parts) -> Iterator[Message]:
    """Whether record, manifest and pages are those of one report."""
    if parts.manifest.get("record_sha256") != parts.record_sha256 or any(
        parts.manifest.get(key) != parts.record.get(key) for key in ("visit", "edition")
    ):
        yield message("report-verify-other-record")
    if parts.manifest.get("pages") != parts.pages:
        yield message("report-verify-other-pages")


def foreign_problems(document: Document) -> Iterator[Message]:
    """What stands in the file that no report has: layers, actions, notes, fields, anything else."""
    root = document.root
    said = {_ACTING[key] for key in _ACTING if key in root}
    names = document.get(root.get("Names")) or {}
    if "JavaScript" in names or "AlternatePresentations" in names:
        said.add("report-verify-actions")
    if root.keys() - _CATALOG - _ACTING.keys() or names.keys() - _NAMES:
        said.add("report-verify-more")
    form = document.get(root.get("AcroForm")) or {}
    fields = fields_of(document)
    allowed = {SHOP_FIELD.encode(), *(name.encode() for name in LATER_FIELDS)}
    field_names = [field.get("T") for field in fields.values()]
    if (
        not form.keys() <= _FORM_KEYS
        or form.get("NeedAppearances")
        or len(set(map(repr, field_names))) != len(field_names)
        or any(
            field.get("FT") != "Sig"
            or field.get("T") not in allowed
            or field.get("Rect") != [0, 0, 0, 0]
            or not field.keys() <= _FIELD_KEYS
            for field in fields.values()
        )
    ):
        said.add("report-verify-fields")
    for page in document.pages():
        if any(key in page for key in _PAGE_ACTING):
            said.add("report-verify-actions")
        for entry in document.get(page.get("Annots")) or ():
            if not (isinstance(entry, Reference) and entry.number in fields):
                said |= _annotation(document, document.dictionary(entry))
    if _has_layers(document):
        said.add("report-verify-layers")
    for message_id in sorted(said):
        yield message(message_id)


def _annotation(document: Document, annotation: Mapping[str, Any]) -> set[str]:
    if annotation.get("Subtype") != "Link" or "AP" in annotation or "AA" in annotation:
        return {"report-verify-notes"}
    action = document.get(annotation.get("A"))
    if action is not None and (action.get("S") not in _LINKS or "Next" in action):
        return {"report-verify-actions"}
    return set()


def _has_layers(document: Document) -> bool:
    """Whether any object is a layer, whatever the catalog says of it."""
    for number in document.offsets:
        found = document.object(number)
        dictionary = found.dictionary if isinstance(found, Stream) else found
        if isinstance(dictionary, dict) and (
            "OC" in dictionary or dictionary.get("Type") in (Name("OCG"), Name("OCMD"))
        ):
            return True
    return False
