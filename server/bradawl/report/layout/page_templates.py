"""The paper: pages of one and of three columns, their foot, and where later signatures go.

Import only after `typeface.register()`.
"""

from __future__ import annotations

import functools
import re
from typing import Any, BinaryIO

from reportlab.platypus import ActionFlowable, BaseDocTemplate, Frame, PageTemplate

from bradawl.design import Mark
from bradawl.language import current, text
from bradawl.report.layout.flowables import KeptTogether, fitted
from bradawl.report.layout.keeping import headings_kept
from bradawl.report.layout.style import (
    COLUMN_WIDTH,
    COLUMNS,
    EDGE,
    FOOT,
    GUTTER,
    INK,
    PAGE_SIZES,
    PLATE_HEIGHT,
    PLATE_WIDTH,
    RULE,
    TEXT_WIDTH,
    TOP,
    draw_plate,
    tint,
)
from bradawl.report.layout.tagged_canvas import TaggedCanvas
from bradawl.report.layout.text import typeface
from bradawl.report.layout.text.paragraphs import Paragraph, advance, paragraph
from bradawl.report.layout.text.text_canvas import TextCanvas
from bradawl.report.pdf.structure import Element

__all__ = ["InColumns", "ReportDocument", "RoomForNotes"]

_FOOT = 24.0
_SMALL = 7.2
#: Columns are begun below other text where at least this share of a page is left for them.
_WORTH_BEGINNING = 0.34
#: Lines to write on: how far apart they are, below other text, and from what height on (points).
_NOTES_LEADING, _NOTES_GAP, _NOTES_LEAST = 22.0, 10.0, 90.0
# A line of a page's code by itself, where no text can stand: texts have no line ends.
_PLACE = re.compile(r"^%page-of (.*)$", re.MULTILINE)


@functools.cache
def _rgb(color: str) -> str:
    shade = tint(color)
    return f"{shade.red:.4f} {shade.green:.4f} {shade.blue:.4f}"


class ReportCanvas(TaggedCanvas):
    """A canvas that knows colors by their text, and what only the finished pages can say."""

    def __init__(self, *arguments: Any, **more: Any) -> None:
        self.anchors: dict[str, int] = {}
        super().__init__(*arguments, **more)

    def translate(self, dx: float, dy: float) -> None:
        a, b, c, d, e, f = self._currentMatrix  # type: ignore[has-type]
        self._currentMatrix = (a, b, c, d, dx * a + dy * c + e, dx * b + dy * d + f)
        self._code.append(f"1 0 0 1 {dx:.3f} {dy:.3f} cm")

    def page_of(self, key: str = "") -> None:
        """Where a key stands, or this page's own number, to the left of here; filled in later."""
        self._code.append(f"%page-of {key}")

    def number_pages(self) -> None:
        """Fill in what `page_of` left open, once all pages are there."""
        pages = self._doc.Pages.pages
        for number, page in enumerate(pages, 1):

            def page_text(place: re.Match[str], own: int = number) -> str:
                if place[1]:
                    said = text("report-page", page=self.anchors[place[1]])
                else:
                    said = text("report-page-of", page=own, pages=len(pages))
                left = -advance(typeface.SANS, said) * _SMALL / 1000
                written = " ".join(
                    f"{subset} {_SMALL} Tf ({letters}) Tj"
                    for subset, letters in self.letters(typeface.SANS, said)
                )
                operators = (
                    "q",
                    _rgb(INK),
                    "rg",
                    "BT",
                    f"{left:.2f}",
                    "0",
                    "Td",
                    written,
                    "ET",
                    "Q",
                )
                return " ".join(operators)

            page.stream = _PLACE.sub(page_text, page.stream)

    def ink(self, color: str) -> str:
        """The operator that fills with a color."""
        return f"{_rgb(color)} rg"

    def rule(self, x: float, y: float, width: float, weight: float, color: str) -> None:
        """A level line from x, y; leaves the canvas as it was."""
        self._code.append(
            f"q {weight} w {_rgb(color)} RG {x:.2f} {y:.2f} m {x + width:.2f} {y:.2f} l S Q"
        )

    def ground(self, x: float, y: float, width: float, height: float, color: str) -> None:
        """A filled rectangle; leaves the canvas as it was."""
        self._code.append(f"q {_rgb(color)} rg {x:.2f} {y:.2f} {width:.2f} {height:.2f} re f Q")

    def plate(self, x: float, y: float, mark: Mark) -> None:
        """A mark with its lower left corner at x, y; drawn once, used everywhere."""
        name = f"plate-{mark.id}"
        if not self.hasForm(name):
            self.beginForm(name, -2, -2, PLATE_WIDTH + 2, PLATE_HEIGHT + 2)
            draw_plate(self, 0, 0, mark)
            self.endForm()
        self.saveState()
        self.translate(x, y)
        self.doForm(name)
        self.restoreState()


class InColumns(ActionFlowable):  # type: ignore[misc]
    """From here on the text stands in columns."""

    def apply(self, document: Any) -> None:
        document.begin_columns()


class RoomForNotes(ActionFlowable):  # type: ignore[misc]
    """Lines to write on by hand where the last page would be mostly empty; `title` is markup."""

    def __init__(self, title: str) -> None:
        super().__init__()
        self._title = title

    def apply(self, document: Any) -> None:
        document.rule_for_notes(paragraph(self._title, "label"))


class ReportDocument(BaseDocTemplate):  # type: ignore[misc]
    """A report's pages.

    After `lay_out`, `structure` holds what is on the pages, and `link_owners` by page index the
    element of each link.
    """

    def __init__(self, out: BinaryIO, *, page: str, title: str, foot: str) -> None:
        width, height = PAGE_SIZES[page]
        super().__init__(
            out,
            pagesize=(width, height),
            title=title,
            lang=current().locale,
            pageCompression=1,
            initialFontName=typeface.SANS,
            allowSplitting=1,
            keepTogetherClass=KeptTogether,
        )
        self._foot = fitted(foot, typeface.SANS, _SMALL, self.text_width - 70)
        self.structure = Element("Document")
        self.link_owners: dict[int, list[Element]] = {}
        whole = [self._frame(0, self.text_width, self.text_height)]
        self.addPageTemplates(
            [
                PageTemplate("whole", whole, onPageEnd=self._furnish),
                PageTemplate("columns", self._columns(self.text_height), onPageEnd=self._furnish),
            ]
        )

    @property
    def text_width(self) -> float:
        return TEXT_WIDTH

    @property
    def text_height(self) -> float:
        return float(self.pagesize[1] - TOP - FOOT)

    @property
    def _left(self) -> float:
        return float(self.pagesize[0] - TEXT_WIDTH) / 2

    def _frame(self, right_by: float, width: float, height: float) -> Frame:
        """A place for text from the foot up, `right_by` from the text's left edge."""
        return Frame(
            self._left + right_by,
            FOOT,
            width,
            height,
            leftPadding=0,
            rightPadding=0,
            topPadding=0,
            bottomPadding=0,
        )

    def _columns(self, height: float) -> list[Frame]:
        return [
            self._frame(at * (COLUMN_WIDTH + GUTTER), COLUMN_WIDTH, height) for at in range(COLUMNS)
        ]

    def begin_columns(self) -> None:
        """Go on in columns: below what stands on this page where there is room, else overleaf."""
        frame: Frame = self.frame  # type: ignore[has-type]
        left = frame._y - frame._y1p
        self._nextPageTemplateIndex = 1
        if left < self.text_height * _WORTH_BEGINNING:
            self.handle_pageBreak()
            return
        frames = self._columns(left - 2 * GUTTER)
        self.pageTemplate = PageTemplate("rest", frames, onPageEnd=self._furnish)
        self.pageTemplate.pagesize = self.pagesize
        self.canv.rule(self._left, frames[0]._y2 + GUTTER, TEXT_WIDTH, 0.6, EDGE)
        self._draw_gutters(self.canv, frames)
        self.frame = frames[0]
        self.handle_frameBegin()

    def rule_for_notes(self, title: Paragraph) -> None:
        """Rule what is left of this page under a title, if that is more than a third of it."""
        frame: Frame = self.frame
        frames = self.pageTemplate.frames
        later = frames[frames.index(frame) + 1 :]
        left = frame._y - frame._y1p
        if left + sum(one._height for one in later) <= self.text_height * len(frames) / 3:
            return
        tops = [(frame, frame._y - _NOTES_GAP), *((one, one._y1p + one._height) for one in later)]
        tops = [(one, top) for one, top in tops if top - one._y1p > _NOTES_LEAST]
        for number, (one, top) in enumerate(tops):
            if number == 0:
                title.wrapOn(self.canv, one._width, top)
                title.drawOn(self.canv, one._x1, top - title.height)
            for at in range(1, int((top - one._y1p) // _NOTES_LEADING)):
                self.canv.rule(one._x1, top - (at + 1) * _NOTES_LEADING, one._width, 0.3, RULE)

    def lay_out(self, flowables: list[Any]) -> None:
        """Fill the pages and write them."""
        at = next((n for n, one in enumerate(flowables) if isinstance(one, InColumns)), -1) + 1
        kept = [
            *headings_kept(flowables[:at], self.text_width, self.text_height),
            *headings_kept(
                flowables[at:], COLUMN_WIDTH if at else self.text_width, self.text_height
            ),
        ]
        self.build(kept, canvasmaker=ReportCanvas)

    def _furnish(self, canvas: TextCanvas, document: Any) -> None:
        canvas.saveState()
        canvas.setFillColor(INK)
        canvas.setStrokeColor(EDGE)
        canvas.setLineWidth(0.4)
        canvas.setFont(typeface.SANS, _SMALL)
        right = self._left + TEXT_WIDTH
        canvas.line(self._left, _FOOT + 10, right, _FOOT + 10)
        canvas.drawString(self._left, _FOOT, self._foot)
        canvas.translate(right, _FOOT)
        canvas.page_of()
        canvas.restoreState()
        if document.pageTemplate.id == "columns":
            self._draw_gutters(canvas, document.pageTemplate.frames)

    def _draw_gutters(self, canvas: TextCanvas, frames: list[Frame]) -> None:
        """A fine line between columns."""
        canvas.saveState()
        canvas.setStrokeColor(RULE)
        canvas.setLineWidth(0.4)
        for frame in frames[1:]:
            x = frame._x1 - GUTTER / 2
            canvas.line(x, frame._y1, x, frame._y2)
        canvas.restoreState()

    def _endBuild(self) -> None:  # noqa: N802 (reportlab's name)
        self._doSave = 0
        super()._endBuild()
        self.canv.number_pages()
        self.canv.save()
        self.structure, self.link_owners = self.canv.structure, self.canv.link_owners
