"""The paper: page templates, running heads, page x of y, and where later signatures go.

Import only after `typeface.register()`.
"""

from __future__ import annotations

import functools
import re
from typing import Any, BinaryIO

from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import BaseDocTemplate, Frame, PageTemplate

from bradawl.language import current, text
from bradawl.report.layout import typeface
from bradawl.report.layout.drawn_signature import SignatureBox
from bradawl.report.layout.flowables import KeptTogether, fitted
from bradawl.report.layout.paragraphs import FontSubsets, advance
from bradawl.report.layout.style import (
    EDGE,
    INK,
    MARGIN,
    MM,
    PAGE_SIZES,
    PLATE_HEIGHT,
    PLATE_WIDTH,
    draw_plate,
    tint,
)

__all__ = ["ReportDocument"]

_FOOT = 12 * MM
_SMALL = 7.6
# A line of a page's code by itself, where no text can stand: texts have no line ends.
_PLACE = re.compile(r"^%page-of (.*)$", re.MULTILINE)


@functools.cache
def _rgb(color: str) -> str:
    shade = tint(color)
    return f"{shade.red:.4f} {shade.green:.4f} {shade.blue:.4f}"


class ReportCanvas(Canvas):  # type: ignore[misc]
    """A canvas that knows colors by their text, and what only the finished pages can say."""

    def __init__(self, *arguments: Any, **more: Any) -> None:
        self.anchors: dict[str, int] = {}
        self.boxes: list[SignatureBox] = []
        super().__init__(*arguments, **more)
        self._letters = FontSubsets(self._doc)

    def translate(self, dx: float, dy: float) -> None:
        a, b, c, d, e, f = self._currentMatrix  # type: ignore[has-type]
        self._currentMatrix = (a, b, c, d, dx * a + dy * c + e, dx * b + dy * d + f)
        self._code.append(f"1 0 0 1 {dx:.3f} {dy:.3f} cm")

    def letters(self, font: str, text: str) -> list[tuple[str, str]]:
        """The text as strings of a PDF, each with the name of the font's subset."""
        return self._letters.of(font, text)

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

    def setFillColor(self, color: Any, alpha: Any = None) -> None:  # noqa: N802
        super().setFillColor(tint(color) if isinstance(color, str) else color, alpha)

    def setStrokeColor(self, color: Any, alpha: Any = None) -> None:  # noqa: N802
        super().setStrokeColor(tint(color) if isinstance(color, str) else color, alpha)

    def plate(self, x: float, y: float, grade: str) -> None:
        """A grade's plate with its lower left corner at x, y; drawn once, used everywhere."""
        name = f"plate-{grade}"
        if not self.hasForm(name):
            self.beginForm(name, -2, -2, PLATE_WIDTH + 2, PLATE_HEIGHT + 2)
            draw_plate(self, 0, 0, grade)
            self.endForm()
        self.saveState()
        self.translate(x, y)
        self.doForm(name)
        self.restoreState()


class ReportDocument(BaseDocTemplate):  # type: ignore[misc]
    """A report's pages.

    After `lay_out`, `boxes` holds the places kept for later signatures.
    """

    def __init__(self, out: BinaryIO, *, page: str, title: str, head: str, foot: str) -> None:
        width, height = PAGE_SIZES[page]
        super().__init__(
            out,
            pagesize=(width, height),
            leftMargin=MARGIN,
            rightMargin=MARGIN,
            topMargin=20 * MM,
            bottomMargin=20 * MM,
            title=title,
            lang=current().locale,
            pageCompression=1,
            initialFontName=typeface.SANS,
            allowSplitting=1,
            keepTogetherClass=KeptTogether,
        )
        self._head = fitted(head, typeface.SANS, _SMALL, self.text_width)
        self._foot = fitted(foot, typeface.SANS, _SMALL, self.text_width - 90)
        self.boxes: list[SignatureBox] = []
        frame = Frame(
            MARGIN,
            20 * MM,
            width - 2 * MARGIN,
            height - 40 * MM,
            leftPadding=0,
            rightPadding=0,
            topPadding=0,
            bottomPadding=0,
        )
        self.addPageTemplates([PageTemplate("page", [frame], onPage=self._furnish)])

    @property
    def text_width(self) -> float:
        return float(self.pagesize[0] - 2 * MARGIN)

    @property
    def text_height(self) -> float:
        return float(self.pagesize[1] - 40 * MM)

    def lay_out(self, flowables: list[Any]) -> None:
        """Fill the pages and write them."""
        self.build(flowables, canvasmaker=ReportCanvas)

    def _furnish(self, canvas: Canvas, document: Any) -> None:
        width, height = self.pagesize
        canvas.saveState()
        canvas.setFillColor(INK)
        canvas.setStrokeColor(EDGE)
        canvas.setLineWidth(0.5)
        canvas.setFont(typeface.SANS, _SMALL)
        if document.page > 1:
            canvas.drawString(MARGIN, height - 13 * MM, self._head)
            canvas.line(MARGIN, height - 15 * MM, width - MARGIN, height - 15 * MM)
        canvas.line(MARGIN, _FOOT + 10, width - MARGIN, _FOOT + 10)
        canvas.drawString(MARGIN, _FOOT, self._foot)
        canvas.translate(width - MARGIN, _FOOT)
        canvas.page_of()
        canvas.restoreState()

    def _endBuild(self) -> None:  # noqa: N802 (reportlab's name)
        self._doSave = 0
        super()._endBuild()
        self.canv.number_pages()
        self.canv.save()
        self.boxes = self.canv.boxes
