"""A canvas that knows what is drawn on it: everything is decoration until a flowable claims it.

Import only after `typeface.register()`.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from bradawl.language import text
from bradawl.report.layout.text.text_canvas import TextCanvas
from bradawl.report.pdf.structure import Element

__all__ = ["TaggedCanvas"]

_DECORATION = "/Artifact BMC"  # an operator: not shown


class TaggedCanvas(TextCanvas):
    """What flowables claim becomes elements below `structure`, in the order in which it is drawn.

    `link_owners` has by page index the element of each annotation.
    """

    def __init__(self, *arguments: Any, **more: Any) -> None:
        self.structure = Element("Document")
        self.link_owners: dict[int, list[Element]] = {}
        self._within = [self.structure]
        self._marks = self._page_index = self._level = 0
        self._silent = False
        super().__init__(*arguments, **more)
        self._code.append(_DECORATION)

    def showPage(self) -> None:  # noqa: N802
        self._end_decoration()
        super().showPage()
        self._marks = 0
        self._page_index += 1
        self._code.append(_DECORATION)

    def save(self) -> None:
        if self._code == [_DECORATION]:
            self._code.clear()  # nothing is on this page: it is none
        super().save()

    def _end_decoration(self) -> None:
        if self._code and self._code[-1] == _DECORATION:
            self._code.pop()
        else:
            self._code.append("EMC")

    @contextmanager
    def inside(self, element: Element) -> Iterator[None]:
        """Elements that are claimed meanwhile belong to this one."""
        if self._silent:
            yield
            return
        self._place(element)
        self._within.append(element)
        try:
            yield
        finally:
            self._within.pop()

    def _place(self, element: Element) -> None:
        if not element.placed:
            element.placed = True
            self._within[-1].parts.append(element)

    @contextmanager
    def content(self, element: Element) -> Iterator[None]:
        """What is drawn meanwhile is the content of this element."""
        if self._silent:
            yield
            return
        with self.inside(element):
            self._end_decoration()
            self._code.append(f"/{element.role} <</MCID {self._marks}>> BDC")
            element.parts.append((self._page_index, self._marks))
            self._marks += 1
            yield
            self._code.append("EMC")
            self._code.append(_DECORATION)

    @contextmanager
    def figure(self, element: Element, width: float, height: float) -> Iterator[None]:
        """What is drawn meanwhile is a picture, from here to `width` and `height` (points)."""
        if not element.alternative:  # what nobody described says nothing: it is decoration
            yield
            return
        left, bottom = self.absolutePosition(0, 0)
        right, top = self.absolutePosition(width, height)
        element.attributes["BBox"] = [round(edge, 2) for edge in (left, bottom, right, top)]
        with self.content(element):
            yield

    @contextmanager
    def decoration(self) -> Iterator[None]:
        """Nothing that is drawn meanwhile is claimed: it was said before."""
        before, self._silent = self._silent, True
        try:
            yield
        finally:
            self._silent = before

    def list_item(self) -> tuple[Element, Element]:
        """The list that goes on here, or a new one, and a new item of it."""
        parts = self._within[-1].parts
        last = parts[-1] if parts else None
        going_on = isinstance(last, Element) and last.role == "L"
        whole = (
            last if going_on and isinstance(last, Element) else Element("L", ListNumbering="Disc")
        )
        return whole, Element("LI")

    def heading_role(self, level: int) -> str:
        """The role of a heading, which is at most one level below the one before it."""
        self._level = min(level, self._level + 1)
        return f"H{self._level}"

    def linkRect(  # noqa: N802
        self,
        contents: str,
        destinationname: str,
        *rest: Any,
        **more: Any,
    ) -> None:
        said = contents or text("report-link-place")
        super().linkRect(said, destinationname, *rest, **more)

    def _addAnnotation(self, annotation: Any, name: Any = None, addtopage: int = 1) -> Any:  # noqa: N802
        if addtopage:
            owner = Element("Link")
            self._place(owner)
            self.link_owners.setdefault(self._page_index, []).append(owner)
        return super()._addAnnotation(annotation, name, addtopage)
