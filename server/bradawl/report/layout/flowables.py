"""The building blocks of a page: graded headings, photos with captions, tables, frames.

Import only after `typeface.register()`: reportlab reads its settings when it is first imported.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from markupsafe import Markup
from reportlab.pdfbase import pdfdoc
from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.platypus import Flowable, KeepTogether

from bradawl.language import text
from bradawl.report.layout.grids import Grid, Padding, stacked_height
from bradawl.report.layout.style import EDGE, GUTTER, INK, WELL
from bradawl.report.layout.text.paragraphs import Paragraph, paragraph
from bradawl.report.pdf.assembly import SLOT_KEY
from bradawl.report.pdf.photos import EmbeddedPhoto
from bradawl.report.pdf.structure import Element

__all__ = [
    "Anchor",
    "Framed",
    "KeptTogether",
    "PhotoFrame",
    "PhotoGap",
    "bold",
    "figures_table",
    "fitted",
    "fitting",
    "in_columns",
    "in_rows",
    "link",
    "numbered",
    "table",
]


def link(key: str, said: str, color: str = INK) -> Markup:
    """Markup for a link to a place of this file."""
    return Markup('<a href="#%s" color="%s">%s</a>') % (key, color, Markup(said))


def bold(said: str) -> Markup:
    """A text in bold."""
    return Markup("<b>%s</b>") % said


#: A word longer than this is cut where its place ends.
_LONG_WORD = 18


def fitted(text: str, font: str, size: float, width: float) -> str:
    """The text, cut with an ellipsis where it is wider than `width` points."""
    if stringWidth(text, font, size) <= width:
        return text
    low, high = 0, len(text)
    while low < high:
        middle = (low + high + 1) // 2
        if stringWidth(text[:middle].rstrip() + "…", font, size) <= width:
            low = middle
        else:
            high = middle - 1
    cut = text[:low]
    if text[low : low + 1] not in ("", " ") and len(cut) - cut.rfind(" ") <= _LONG_WORD:
        cut = cut[: max(cut.rfind(" "), 0)] or cut  # no half figures: 3.6 is not 3
    return cut.rstrip(" ,;:.") + "…"


class Anchor(Flowable):  # type: ignore[misc]
    """An invisible place: a link target, and an entry of the outline when it has a title."""

    def __init__(self, key: str, title: str = "", level: int = 0) -> None:
        super().__init__()
        self.key, self.title, self.level = key, title, level
        self.keepWithNext = True

    def wrap(self, *_: float) -> tuple[float, float]:
        return 0, 0

    def draw(self) -> None:
        self.canv.bookmarkHorizontal(self.key, 0, 14)
        if self.title:
            self.canv.addOutlineEntry(self.title, self.key, level=self.level, closed=self.level > 0)
        self.canv.anchors[self.key] = self.canv.getPageNumber()


def numbered(number: int, said: str) -> Markup:
    """Markup behind a finding's number; without one as it is."""
    return Markup("%s\u2002%s") % (number, Markup(said)) if number else Markup(said)


def fitting(candidates: Sequence[str], style: str, width: float, lines: int) -> Paragraph:
    """The first of these markups that needs no more lines, else the last; wrapped to `width`."""
    for markup in candidates:
        made = paragraph(markup, style)
        if made.wrap(width, 0)[1] <= lines * made.style.leading + 0.1:
            return made
    return made


class PhotoSlot(pdfdoc.PDFObject):  # type: ignore[misc]
    """Keeps an object number in the laid-out pages for a photo that lies elsewhere."""

    def __init__(self, sha256: str) -> None:
        self.sha256 = sha256

    def format(self, _: Any) -> bytes:
        return b"<< /%s (%s) >>" % (SLOT_KEY.encode(), self.sha256.encode())


class PhotoFrame(Flowable):  # type: ignore[misc]
    """A photo no wider and no taller than given, with its caption below."""

    def __init__(
        self, sha256: str, embedded: EmbeddedPhoto, caption: str, *, width: float, tallest: float
    ) -> None:
        super().__init__()
        self._sha256 = sha256
        scale = min(width / embedded.width, tallest / embedded.height)
        self._drawn = (embedded.width * scale, embedded.height * scale)
        self._caption = paragraph(caption, "small") if caption else None
        self._column = width
        self.spaceBefore, self.spaceAfter = 3, 2

    def wrap(self, available_width: float, available_height: float) -> tuple[float, float]:
        self.width = self._column
        self.height = self._drawn[1] + 1
        if self._caption is not None:
            self.height += self._caption.wrap(self._column, available_height)[1] + 2
        return self.width, self.height

    def draw(self) -> None:
        canvas = self.canv
        width, height = self._drawn
        name = f"photo-{self._sha256}"
        if not canvas.hasForm(name):
            canvas._doc.Reference(PhotoSlot(self._sha256), canvas._doc.getXObjectName(name))
        bottom = self.height - height
        canvas.saveState()
        canvas.translate(0, bottom)
        said = self._caption.plain() if self._caption else text("report-photo-figure")
        with canvas.figure(Element("Figure", alternative=said), width, height):
            canvas.scale(width, height)
            canvas.doForm(name)
        canvas.restoreState()
        canvas.saveState()
        canvas.setStrokeColor(EDGE)
        canvas.setLineWidth(0.4)
        canvas.rect(0, bottom, width, height, stroke=1, fill=0)
        canvas.restoreState()
        if self._caption is not None:
            self._caption.drawOn(canvas, 0, bottom - self._caption.height - 2)


class PhotoGap(Flowable):  # type: ignore[misc]
    """Where a photo should be and is not: a dashed frame that says so."""

    def __init__(self, markup: str, *, width: float) -> None:
        super().__init__()
        self._column = width
        self._paragraph = paragraph(markup, "small")

    def wrap(self, available_width: float, available_height: float) -> tuple[float, float]:
        _, height = self._paragraph.wrap(self._column - 12, available_height)
        self.width, self.height = self._column, height + 14
        return self.width, self.height

    def draw(self) -> None:
        canvas = self.canv
        canvas.saveState()
        canvas.setStrokeColor(EDGE)
        canvas.setDash(3, 2)
        canvas.rect(0.5, 2, self.width - 1, self.height - 4, stroke=1, fill=0)
        canvas.restoreState()
        self._paragraph.drawOn(canvas, 6, (self.height - self._paragraph.height) / 2)


def in_rows(cells: Sequence[list[Flowable]], *, columns: int, width: float) -> Flowable:
    """Cells in so many columns with gutters between them, read row by row."""
    each = (width - GUTTER * (columns - 1)) / columns
    rows = [[*cells[at : at + columns]] for at in range(0, len(cells), columns)]
    rows[-1] += [[] for _ in range(columns - len(rows[-1]))]
    widths = [each + GUTTER] * (columns - 1) + [each]
    padding = [Padding(right=GUTTER)] * (columns - 1) + [Padding()]
    return Grid(rows, widths, padding)


def in_columns(lines: Sequence[Flowable], *, columns: int, width: float) -> Flowable:
    """Lines in so many columns, read down the left one first; neighbors line up."""
    deep = -(-len(lines) // columns)
    cells = [
        [lines[at]] if (at := row + column * deep) < len(lines) and row < deep else []
        for row in range(deep)
        for column in range(columns)
    ]
    return in_rows(cells, columns=columns, width=width)


def figures_table(
    rows: Sequence[Sequence[Flowable | str]], widths: Sequence[float], *, after: float = 4
) -> Flowable:
    """Compact rows with a fine line below each; a text is markup for a cell."""
    cells = [
        [[paragraph(cell, "cell") if isinstance(cell, str) else cell] for cell in row]
        for row in rows
    ]
    padding = [Padding(right=4, top=1, bottom=1.4)] * (len(widths) - 1) + [
        Padding(top=1, bottom=1.4)
    ]
    return Grid(cells, widths, padding, ruled=True, before=2, after=after)


def table(
    head: Sequence[str],
    rows: Sequence[Sequence[Flowable]],
    widths: Sequence[float],
    *,
    ruled: bool = True,
) -> Grid:
    """A ruled table of markup cells that repeats its head on every page; no head when empty.

    A head that begins with `>` stands over a column of figures.
    """
    body: list[list[list[Flowable]]] = [[[_head(text)] for text in head]] if head else []
    for row in rows:
        body.append([[paragraph(cell, "cell") if isinstance(cell, str) else cell] for cell in row])
    padding = Padding(2, 2, 1.2, 1.6)
    return Grid(body, widths, padding, head=bool(head), ruled=ruled, before=3, after=5)


def _head(text: str) -> Flowable:
    return paragraph(
        text.lstrip(">"), "cell-strong-right" if text.startswith(">") else "cell-strong"
    )


class KeptTogether(KeepTogether):  # type: ignore[misc]
    """Flowables that stay on one page when it holds them; measured once for a width."""

    def __init__(self, flowables: Sequence[Flowable], *_: Any, **__: Any) -> None:
        content: list[Flowable] = []
        for flowable in flowables:
            # one inside another would be measured as taller than any page
            content += flowable._content if isinstance(flowable, KeptTogether) else [flowable]
        super().__init__(content)

    def height_in(self, width: float) -> float:
        """How tall all of it is in a column of that width."""
        self.wrap(width, 0)
        return float(self._H)

    def wrap(self, available_width: float, available_height: float) -> tuple[float, float]:
        if getattr(self, "_measured", None) != available_width:
            self._H = stacked_height(self._content, available_width)
            self._H0 = self._content[0].height if self._content else 0
            self._measured = available_width
        self._wrapInfo = available_width, available_height
        return available_width, 0xFFFFFF  # asks for its split


_FRAME_LEFT = 14.0  # room for the heavy edge


class Framed(Flowable):  # type: ignore[misc]
    """Flowables inside a frame with a heavy left edge, on the page's paper color."""

    def __init__(self, inside: list[Flowable], *, color: str, dashed: bool = False) -> None:
        super().__init__()
        self._inside, self._color, self._dashed = inside, color, dashed

    def wrap(self, available_width: float, available_height: float) -> tuple[float, float]:
        self.width = available_width
        self._heights = [
            flowable.wrap(available_width - _FRAME_LEFT - 8, available_height)[1]
            + flowable.getSpaceAfter()
            for flowable in self._inside
        ]
        self.height = sum(self._heights) + 12
        return self.width, self.height

    def split(self, available_width: float, available_height: float) -> list[Flowable]:
        self.wrap(available_width, available_height)
        if self.height <= available_height:
            return [self]
        frame = getattr(self, "_frame", None)
        page = frame._aH if frame is not None else available_height
        if self.height <= page and available_height < page:
            return []  # whole on the next page
        # taken apart rather than cut off, what comes first fitting here: reportlab wants that
        first, *rest = self._inside
        if first.wrap(available_width, available_height)[1] <= available_height:
            return self._inside
        parts = first.split(available_width, available_height)
        return [*parts, *rest] if len(parts) > 1 else []

    def draw(self) -> None:
        canvas = self.canv
        canvas.saveState()
        canvas.setFillColor(WELL)
        canvas.setStrokeColor(self._color)
        canvas.setLineWidth(0.7)
        if self._dashed:
            canvas.setDash(4, 2.5)
        canvas.rect(0.5, 0.5, self.width - 1, self.height - 1, stroke=1, fill=1)
        canvas.setDash()
        canvas.setFillColor(self._color)
        canvas.rect(0.5, 0.5, 4, self.height - 1, stroke=0, fill=1)
        canvas.restoreState()
        top = self.height - 6
        for flowable, height in zip(self._inside, self._heights, strict=True):
            top -= height
            flowable.drawOn(canvas, _FRAME_LEFT, top + flowable.getSpaceAfter())
