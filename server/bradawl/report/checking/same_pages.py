"""Compares the pages of two files: what is drawn, with what letters and pictures, and what else a
reader shows or reads aloud of them.

Objects are followed from page to page, however they are numbered or compressed; the first
difference decides. Signature fields are not compared: `inventory.py` says what those may be.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from bradawl.report.checking.pdf_syntax import Name, Reference, Stream
from bradawl.report.checking.revisions import Document

__all__ = ["other_pages", "says_otherwise"]

#: Where an object belongs, not what is shown; and lengths, which compression decides.
_ELSEWHERE = frozenset({"Parent", "Length", "Annots"})
#: The same of a link: its page, and its place in the structure, which is compared by itself.
_LINK_ELSEWHERE = frozenset({"P", "StructParent"})
#: What pages have from the nodes above them (ISO 32000-1, table 30).
_INHERITED = ("Resources", "MediaBox", "CropBox", "Rotate")
#: Of the catalog what is said beside the pages: bookmarks, structure, the file's language.
_BESIDE = ("Outlines", "StructTreeRoot", "Lang", "ViewerPreferences", "MarkInfo", "PageLabels")
_TITLES = ("Title", "Author", "Subject")


def other_pages(one: Document, other: Document) -> list[int]:
    """The numbers, from 1 on, of the pages that are not the same, also those only one file has."""
    pages, others = list(one.pages()), list(other.pages())
    most = max(len(pages), len(others))
    if not _Comparison(one, other).same(_inherited(one), _inherited(other)):
        return list(range(1, most + 1))
    differing = [
        at
        for at, (page, its) in enumerate(zip(pages, others, strict=False), 1)
        if not _Comparison(one, other).same(page, its) or _links(one, page) != _links(other, its)
    ]
    return differing + list(range(min(len(pages), len(others)) + 1, most + 1))


def says_otherwise(one: Document, other: Document) -> bool:
    """Whether two files with the same pages say something else beside them."""
    comparison = _Comparison(one, other)
    for pages in zip(_numbers(one, "Page"), _numbers(other, "Page"), strict=False):
        comparison.take_as_same(*pages)
    for fields in zip(_numbers(one, "Annot"), _numbers(other, "Annot"), strict=False):
        comparison.take_as_same(*fields)
    info, its = (document.dictionary(document.trailer.get("Info")) for document in (one, other))
    return not (
        all(comparison.same(one.root.get(key), other.root.get(key)) for key in _BESIDE)
        and comparison.same(
            *(document.dictionary(document.root["Names"]).get("Dests") for document in (one, other))
        )
        and all(info.get(key) == its.get(key) for key in _TITLES)
        and comparison.same(one.root.get("Metadata"), other.root.get("Metadata"))
    )


def _inherited(document: Document) -> list[dict[str, Any]]:
    """What the nodes of the page tree hand down, one after another."""
    nodes, found = [document.root.get("Pages")], []
    while nodes:
        node = document.dictionary(nodes.pop())
        if node.get("Type") != "Page":
            found.append({key: node[key] for key in _INHERITED if key in node})
            nodes += document.get(node.get("Kids")) or []
    return [handed for handed in found if handed]


def _numbers(document: Document, kind: str) -> list[int]:
    """Pages in their order, or annotations page by page: their objects' numbers."""
    found = []
    for number in _page_numbers(document, document.root.get("Pages")):
        if kind == "Page":
            found.append(number)
            continue
        for entry in document.get(document.dictionary(document.object(number)).get("Annots")) or ():
            if isinstance(entry, Reference):
                found.append(entry.number)
    return found


def _page_numbers(document: Document, node: Any) -> Iterable[int]:
    for kid in document.get(document.dictionary(node).get("Kids")) or ():
        if document.dictionary(kid).get("Type") == "Page":
            yield kid.number
        else:
            yield from _page_numbers(document, kid)


def _links(document: Document, page: Mapping[str, Any]) -> list[str]:
    """All that a page's links say of themselves: place, look and where they lead; a page of this
    file by its place in it.
    """
    numbers = {number: at for at, number in enumerate(_numbers(document, "Page"))}

    def plain(value: Any) -> Any:
        if isinstance(value, Reference) and value.number in numbers:
            return f"page {numbers[value.number]}"
        value = document.get(value)
        if isinstance(value, list):
            return [plain(inner) for inner in value]
        if isinstance(value, dict):
            return {key: plain(inner) for key, inner in sorted(value.items())}
        return value

    links = []
    for entry in document.get(page.get("Annots")) or ():
        link = document.dictionary(entry)
        if link.get("Subtype") == "Link":
            links.append(
                repr({key: plain(link[key]) for key in sorted(link.keys() - _LINK_ELSEWHERE)})
            )
    return links


class _Comparison:
    """Two files; pairs of objects that were looked at once are taken as the same from then on."""

    def __init__(self, one: Document, other: Document) -> None:
        self._one, self._other = one, other
        self._seen: set[tuple[int, int]] = set()

    def take_as_same(self, number: int, its: int) -> None:
        self._seen.add((number, its))

    def same(self, value: Any, its: Any) -> bool:
        """Whether two values are the same down to the last object. Raises SyntaxFault."""
        pairs = [(value, its)]
        while pairs:
            left, right = pairs.pop()
            if isinstance(left, Reference) and isinstance(right, Reference):
                pair = left.number, right.number
                if pair in self._seen:
                    continue
                self._seen.add(pair)
            further = self._inside(left, right, self._one.get(left), self._other.get(right))
            if further is None:
                return False
            pairs += further
        return True

    def _inside(self, left: Any, right: Any, one: Any, other: Any) -> list[tuple[Any, Any]] | None:
        """The pairs that must be the same for these to be; None where they are not."""
        if isinstance(one, Stream) and isinstance(other, Stream):
            if self._one.raw(left) != self._other.raw(right) and (
                one.dictionary.get("Filter") != "FlateDecode"
                or self._one.content(left) != self._other.content(right)
            ):
                return None
            return self._inside(left, right, one.dictionary, other.dictionary)
        if isinstance(one, dict) and isinstance(other, dict):
            keys = one.keys() - _ELSEWHERE
            if keys != other.keys() - _ELSEWHERE:
                return None
            return [(one[key], other[key]) for key in keys]
        if isinstance(one, list) and isinstance(other, list):
            return list(zip(one, other, strict=True)) if len(one) == len(other) else None
        alike = isinstance(one, Name) == isinstance(other, Name) and one == other
        return [] if alike and isinstance(one, bool) == isinstance(other, bool) else None
