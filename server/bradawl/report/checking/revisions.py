"""Reads a report's file strictly: its revisions, and its objects as each of them had them.

For files as Bradawl writes them, with classic cross-reference tables, to which programs of others
added signatures. Whatever leaves a choice to a reader (hybrid tables, object streams, gaps between
the objects of an addition, a table that is repaired by searching, objects of several generations,
of which readers show one or none) is refused.
"""

from __future__ import annotations

import re
import zlib
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from bradawl.report.checking.pdf_syntax import (
    Name,
    Reference,
    Stream,
    SyntaxFault,
    skip_blanks,
    value_at,
)

__all__ = ["Document", "Revision", "revisions_of"]

_END = re.compile(rb"startxref[\r\n ]+(\d{1,10})[\r\n ]+%%EOF[\r\n ]{0,2}\Z")
_SECTION = re.compile(rb"(\d{1,10}) (\d{1,10})[ ]*(?:\r\n|\r|\n)")
_ROW = re.compile(rb"(\d{10}) (\d{5}) ([nf])(?: \r| \n|\r\n)")
_OBJECT = re.compile(rb"(\d{1,10})[\r\n ]+(\d{1,5})[\r\n ]+obj(?![^\0\t\n\f\r ()<>\[\]{}/%])")
_STREAM = re.compile(rb"stream(?:\r\n|\n)")
_STREAM_END = re.compile(rb"(?:\r\n|\n|\r)?endstream")
_TRAILER_KEYS = frozenset({"Size", "Root", "Info", "ID", "Prev"})
_MOST_REVISIONS = 8
_MOST_OBJECTS = 400_000
_MOST_DATA_BYTES = 64_000_000


@dataclass(frozen=True)
class Revision:
    """One cross-reference table: where it begins, the place behind its `%%EOF`, its rows.

    `rows` gives an object's offset by number, None for one that is free.
    """

    table: int
    end: int
    rows: dict[int, int | None]
    trailer: dict[str, Any]


def revisions_of(data: bytes) -> list[Revision]:
    """The revisions of a file, the oldest first. Raises SyntaxFault."""
    if data[:5] != b"%PDF-":
        raise SyntaxFault("no PDF")
    _refuse_linearized(data)
    found = _END.search(data, max(len(data) - 64, 0))
    if found is None:
        raise SyntaxFault("no end")
    revisions: list[Revision] = []
    at: int | None = int(found[1])
    before = len(data)
    while at is not None:
        if len(revisions) == _MOST_REVISIONS or at >= before:
            raise SyntaxFault("a chain of tables without an end")
        revision = _revision(data, at)
        previous = revision.trailer.get("Prev")
        if previous is not None and not isinstance(previous, int):
            raise SyntaxFault("a previous table that is none")
        revisions.append(revision)
        before, at = at, previous
    revisions.reverse()
    most = 0
    for revision in revisions:
        most = max([most, *revision.rows])
        size = revision.trailer.get("Size")
        if not isinstance(size, int) or size <= most:
            raise SyntaxFault("objects that the trailer does not count")
    return revisions


def _refuse_linearized(data: bytes) -> None:
    """Readers take the first table of such a file from its begin (ISO 32000-1, annex F), and may
    show what the tables at its end know nothing of. Raises SyntaxFault.
    """
    first = _OBJECT.match(data, skip_blanks(data, 0))
    value = value_at(data, first.end())[0] if first else None
    if isinstance(value, dict) and "Linearized" in value:
        raise SyntaxFault("a file with a table at its begin")


def _revision(data: bytes, begin: int) -> Revision:
    if data[begin : begin + 4] != b"xref":
        raise SyntaxFault("no classic table")
    rows: dict[int, int | None] = {}
    at = skip_blanks(data, begin + 4)
    while section := _SECTION.match(data, at):
        at = section.end()
        first, count = int(section[1]), int(section[2])
        if count > _MOST_OBJECTS:
            raise SyntaxFault("too many objects")
        for number in range(first, first + count):
            row = _ROW.match(data, at)
            if row is None or number in rows:
                raise SyntaxFault("a row that is none, or twice")
            if row[3] == b"n" and row[2] != b"00000":
                raise SyntaxFault("an object of another generation")
            rows[number] = int(row[1]) if row[3] == b"n" else None
            at = row.end()
        at = skip_blanks(data, at)
    if data[at : at + 7] != b"trailer":
        raise SyntaxFault("no trailer")
    trailer, at = value_at(data, at + 7)
    if not isinstance(trailer, dict) or not trailer.keys() <= _TRAILER_KEYS:
        raise SyntaxFault("a trailer with more than a trailer has")
    at = skip_blanks(data, at)
    ending = re.compile(rb"startxref[\r\n ]+(\d{1,10})[\r\n ]+%%EOF").match(data, at)
    if ending is None or int(ending[1]) != begin:
        raise SyntaxFault("a table that names another")
    return Revision(begin, ending.end(), rows, trailer)


@dataclass(frozen=True)
class Document:
    """A file as it was after some of its revisions, the oldest first."""

    data: bytes
    revisions: list[Revision]
    _kept: dict[int, Any] = field(default_factory=dict, repr=False, compare=False)

    @cached_property
    def offsets(self) -> dict[int, int]:
        """Where each object that is there begins."""
        rows: dict[int, int | None] = {}
        for revision in self.revisions:
            rows |= revision.rows
        return {number: at for number, at in rows.items() if at is not None}

    @property
    def trailer(self) -> dict[str, Any]:
        return self.revisions[-1].trailer

    @cached_property
    def root(self) -> dict[str, Any]:
        """The catalog. Raises SyntaxFault where there is none."""
        root = self.get(self.trailer.get("Root"))
        if not isinstance(root, dict):
            raise SyntaxFault("no catalog")
        return root

    def get(self, value: Any) -> Any:
        """What a value refers to, or the value itself; None for an object that is not there."""
        for _ in range(8):
            if not isinstance(value, Reference):
                return value
            value = self.object(value.number)
        raise SyntaxFault("references in a circle")

    def object(self, number: int) -> Any:
        """An object by its number; None for one that is not there."""
        if number not in self._kept:
            at = self.offsets.get(number)
            self._kept[number] = None if at is None else object_at(self.data, at, number)[0]
        return self._kept[number]

    def dictionary(self, value: Any) -> dict[str, Any]:
        """What a value refers to, which is a dictionary (a stream's, too). Raises SyntaxFault."""
        found = self.get(value)
        if isinstance(found, Stream):
            return found.dictionary
        if not isinstance(found, dict):
            raise SyntaxFault("no dictionary")
        return found

    def raw(self, stream: Any) -> bytes:
        """The bytes of a stream as they stand in the file. Raises SyntaxFault."""
        found = self.get(stream)
        if not isinstance(found, Stream):
            raise SyntaxFault("no stream")
        size = self.get(found.dictionary.get("Length"))
        if not isinstance(size, int) or size < 0:
            raise SyntaxFault("a stream without a length")
        if _STREAM_END.match(self.data, found.begin + size) is None:
            raise SyntaxFault("a stream of another length")
        return self.data[found.begin : found.begin + size]

    def content(self, stream: Any) -> bytes:
        """The bytes of a stream, decompressed; no more than 64 MB. Raises SyntaxFault."""
        raw = self.raw(stream)
        filters = self.get(self.dictionary(stream).get("Filter"))
        if isinstance(filters, list):
            filters = [self.get(one) for one in filters]
            filters = filters[0] if len(filters) == 1 else filters or None
        if filters is None:
            return raw
        if filters != Name("FlateDecode") or "DecodeParms" in self.dictionary(stream):
            raise SyntaxFault("another compression")
        try:
            unpacking = zlib.decompressobj()
            out = unpacking.decompress(raw, _MOST_DATA_BYTES)
        except zlib.error as fault:
            raise SyntaxFault("broken compression") from fault
        if not unpacking.eof:
            raise SyntaxFault("too much data, or not all")
        return out

    def pages(self) -> Iterator[dict[str, Any]]:
        """Every page in order. Raises SyntaxFault for a tree that goes in circles."""
        yield from self._below(self.root.get("Pages"), frozenset(), 0)

    def _below(self, node: Any, above: frozenset[int], depth: int) -> Iterator[dict[str, Any]]:
        if depth > 32 or (isinstance(node, Reference) and node.number in above):
            raise SyntaxFault("a page tree without an end")
        if isinstance(node, Reference):
            above = above | {node.number}
        found = self.dictionary(node)
        if found.get("Type") == "Page":
            yield found
            return
        for kid in self.get(found.get("Kids")) or ():
            yield from self._below(kid, above, depth + 1)


def object_at(data: bytes, at: int, number: int) -> tuple[Any, int]:
    """The object that begins at `at`, and the place behind its value. Raises SyntaxFault."""
    head = _OBJECT.match(data, at)
    if head is None or int(head[1]) != number or int(head[2]):
        raise SyntaxFault(f"object {number} is not where it should be")
    value, after = value_at(data, head.end())
    after = skip_blanks(data, after)
    begin = _STREAM.match(data, after)
    if begin is None:
        return value, after
    if not isinstance(value, dict):
        raise SyntaxFault("a stream without a dictionary")
    return Stream(value, begin.end()), begin.end()
