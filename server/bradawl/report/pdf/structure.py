"""Writes the structure of a file: what a page's marked content is, for readers that do not see it.

After ISO 32000-1, 14.7 and 14.8, as ISO 14289-1 (PDF/UA-1) and ISO 19005-3 level A ask for it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from pikepdf import Pdf

__all__ = ["Element", "write_structure"]


class Element:
    """One element: its role, its parts in reading order, and what is said of it.

    A part is another element, or a page's index with the number of the content marked there.
    """

    __slots__ = ("alternative", "attributes", "language", "parts", "placed", "role")

    def __init__(self, role: str, *, alternative: str = "", **attributes: Any) -> None:
        self.role, self.alternative, self.attributes = role, alternative, attributes
        self.language = ""
        self.parts: list[Element | tuple[int, int]] = []
        self.placed = False


#: Whose attribute each is (ISO 32000-1, 14.8.5).
_OWNERS = {"BBox": "Layout", "ListNumbering": "List", "Scope": "Table"}


class _Writer:
    def __init__(self, pdf: Pdf, links: Mapping[int, Sequence[Element]]) -> None:
        self._pdf = pdf
        self._pages = [page.obj for page in pdf.pages]
        self._marked: list[dict[int, Any]] = [{} for _ in self._pages]
        self._annotations: dict[int, list[tuple[int, Any]]] = {}
        self._single: list[Any] = []
        for page, owners in links.items():
            notes: Any = self._pages[page].get("/Annots", [])  # links first, then fields
            for note, owner in zip(list(notes)[: len(owners)], owners, strict=True):
                self._annotations.setdefault(id(owner), []).append((page, note))

    def element(self, element: Element, parent: Any) -> Any:
        from pikepdf import Array, Dictionary, Name, String

        made = self._pdf.make_indirect(
            Dictionary(Type=Name.StructElem, S=Name("/" + element.role), P=parent)
        )
        if element.alternative:
            made.Alt = String(element.alternative)
        if element.language:
            made.Lang = String(element.language)
        parts: list[Any] = []
        first = None
        for part in element.parts:
            if isinstance(part, Element):
                parts.append(self.element(part, made))
                continue
            page, number = part
            self._marked[page][number] = made
            if first is None:
                first = page
                made.Pg = self._pages[page]
            if page == first:
                parts.append(number)
            else:
                parts.append(Dictionary(Type=Name.MCR, Pg=self._pages[page], MCID=number))
        for page, note in self._annotations.get(id(element), ()):
            parts.append(self.reference(page, note, made))
        if parts:
            made.K = parts[0] if len(parts) == 1 else Array(parts)
        if element.attributes:
            made.A = _attributes(element.attributes)
        return made

    def reference(self, page: int, note: Any, owner: Any) -> Any:
        """What ties an annotation to its element, both ways."""
        from pikepdf import Dictionary, Name

        note.StructParent = len(self._pages) + len(self._single)
        self._single.append(owner)
        return Dictionary(Type=Name.OBJR, Obj=note, Pg=self._pages[page])

    def field(self, page: int, note: Any, parent: Any) -> Any:
        """The element of a form field."""
        from pikepdf import Dictionary, Name

        made = self._pdf.make_indirect(
            Dictionary(Type=Name.StructElem, S=Name.Form, P=parent, Pg=self._pages[page])
        )
        made.Alt = note.TU
        made.K = self.reference(page, note, made)
        return made

    def parents(self) -> Any:
        """By page the elements of its marked content in order; by number those of annotations."""
        from pikepdf import Array, Dictionary, Name

        rows: list[Any] = []
        for number, (page, marked) in enumerate(zip(self._pages, self._marked, strict=True)):
            page.StructParents = number
            page.Tabs = Name.S
            rows += [number, Array([marked[at] for at in range(len(marked))])]
        for number, owner in enumerate(self._single, len(self._pages)):
            rows += [number, owner]
        return Dictionary(Nums=Array(rows))

    @property
    def next_key(self) -> int:
        return len(self._pages) + len(self._single)


def _attributes(attributes: Mapping[str, Any]) -> Any:
    from pikepdf import Array, Dictionary, Name

    (owner,) = {_OWNERS[key] for key in attributes}
    made = Dictionary(O=Name("/" + owner))
    for key, value in attributes.items():
        made["/" + key] = Name("/" + value) if isinstance(value, str) else Array(value)
    return made


def write_structure(
    pdf: Pdf,
    root: Element,
    links: Mapping[int, Sequence[Element]],
    fields: Sequence[tuple[int, Any]] = (),
) -> None:
    """Write the elements below `root`.

    `links` has by page index the elements of its annotations in their order, `fields` the widgets
    of form fields with the index of their page.
    """
    from pikepdf import Array, Dictionary, Name

    writer = _Writer(pdf, links)
    tree = pdf.make_indirect(Dictionary(Type=Name.StructTreeRoot))
    document = writer.element(root, tree)
    made = [writer.field(page, note, document) for page, note in fields]
    if made:
        before = list(document.K) if isinstance(document.K, Array) else [document.K]
        document.K = Array([*before, *made])
    tree.K = document
    tree.ParentTree = pdf.make_indirect(writer.parents())
    tree.ParentTreeNextKey = writer.next_key
    pdf.Root.StructTreeRoot = tree
    pdf.Root.MarkInfo = Dictionary(Marked=True)
