"""The paper: page templates, running heads, page x of y, and where later signatures go.

Import only after `typeface.register()`.
"""

from __future__ import annotations

import functools
from typing import Any, BinaryIO

from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import BaseDocTemplate, Frame, PageTemplate

from bradawl.report import typeface
from bradawl.report.flowables import Together, fitted, page_form
from bradawl.report.prose import Letters
from bradawl.report.signing import Box
from bradawl.report.style import (
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

_TOTAL = "total-pages"
_FOOT = 12 * MM


@functools.cache
def _rgb(colour: str) -> str:
    shade = tint(colour)
    return f"{shade.red:.4f} {shade.green:.4f} {shade.blue:.4f}"


class Sheet(Canvas):  # type: ignore[misc]
    """A canvas that knows colours by their text, and what only the finished pages can say."""

    def __init__(self, *arguments: Any, **more: Any) -> None:
        self.anchors: dict[str, int] = {}
        self.wanted: set[str] = set()
        self.boxes: list[Box] = []
        super().__init__(*arguments, **more)
        self._letters = Letters(self._doc)

    def push_state_stack(self) -> None:
        # reportlab copies its transparency state too, which nothing here changes
        now = self.__dict__
        self.state_stack.append([now[name] for name in self.STATE_ATTRIBUTES])

    def pop_state_stack(self) -> None:
        self.__dict__.update(zip(self.STATE_ATTRIBUTES, self.state_stack.pop(), strict=True))

    def translate(self, dx: float, dy: float) -> None:
        a, b, c, d, e, f = self._currentMatrix  # type: ignore[has-type]
        self._currentMatrix = (a, b, c, d, dx * a + dy * c + e, dx * b + dy * d + f)
        self._code.append(f"1 0 0 1 {dx:.3f} {dy:.3f} cm")

    def letters(self, font: str, text: str) -> list[tuple[str, str]]:
        """The text as strings of a PDF, each with the name of the font's subset."""
        return self._letters.of(font, text)

    def ink(self, colour: str) -> str:
        """The operator that fills with a colour."""
        return f"{_rgb(colour)} rg"

    def rule(self, x: float, y: float, width: float, weight: float, colour: str) -> None:
        """A level line from x, y; leaves the canvas as it was."""
        self._code.append(
            f"q {weight} w {_rgb(colour)} RG {x:.2f} {y:.2f} m {x + width:.2f} {y:.2f} l S Q"
        )

    def ground(self, x: float, y: float, width: float, height: float, colour: str) -> None:
        """A filled rectangle; leaves the canvas as it was."""
        self._code.append(f"q {_rgb(colour)} rg {x:.2f} {y:.2f} {width:.2f} {height:.2f} re f Q")

    def setFillColor(self, colour: Any, alpha: Any = None) -> None:  # noqa: N802
        super().setFillColor(tint(colour) if isinstance(colour, str) else colour, alpha)

    def setStrokeColor(self, colour: Any, alpha: Any = None) -> None:  # noqa: N802
        super().setStrokeColor(tint(colour) if isinstance(colour, str) else colour, alpha)

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


class Paper(BaseDocTemplate):  # type: ignore[misc]
    """A report's pages.

    After `lay_out`, `boxes` holds the places kept for later signatures.
    """

    def __init__(
        self, out: BinaryIO, *, page: str, title: str, head: str, foot: str, language: str = "en"
    ) -> None:
        width, height = PAGE_SIZES[page]
        super().__init__(
            out,
            pagesize=(width, height),
            leftMargin=MARGIN,
            rightMargin=MARGIN,
            topMargin=20 * MM,
            bottomMargin=20 * MM,
            title=title,
            lang=language,
            pageCompression=1,
            initialFontName=typeface.SANS,
            allowSplitting=1,
            keepTogetherClass=Together,
        )
        self._head, self._foot = head, foot
        self.boxes: list[Box] = []
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
        self.build(flowables, canvasmaker=Sheet)

    def _furnish(self, canvas: Any, document: Any) -> None:
        width, height = self.pagesize
        canvas.saveState()
        canvas.setFillColor(INK)
        canvas.setStrokeColor(EDGE)
        canvas.setLineWidth(0.5)
        canvas.setFont(typeface.SANS, 7.6)
        if document.page > 1:
            canvas.drawString(MARGIN, height - 13 * MM, self._fitted(self._head))
            canvas.line(MARGIN, height - 15 * MM, width - MARGIN, height - 15 * MM)
        canvas.line(MARGIN, _FOOT + 10, width - MARGIN, _FOOT + 10)
        canvas.drawString(MARGIN, _FOOT, self._fitted(self._foot, 90))
        canvas.drawRightString(width - MARGIN - 22, _FOOT, f"page {document.page} of")
        canvas.translate(width - MARGIN - 20, _FOOT)
        canvas.doForm(_TOTAL)
        canvas.restoreState()

    def _fitted(self, text: str, reserve: float = 0) -> str:
        return fitted(text, typeface.SANS, 7.6, self.text_width - reserve)

    def _endBuild(self) -> None:  # noqa: N802 (reportlab's name)
        self._doSave = 0
        super()._endBuild()
        # What is only known now: how many pages there are, and where each finding stands.
        self._form(_TOTAL, str(self.canv.getPageNumber() - 1), right=False)
        for key in sorted(self.canv.wanted):
            self._form(page_form(key), f"page {self.canv.anchors[key]}", right=True)
        self.canv.save()
        self.boxes = self.canv.boxes

    def _form(self, name: str, text: str, *, right: bool) -> None:
        canvas = self.canv
        canvas.beginForm(name, lowerx=-60, lowery=-4, upperx=60, uppery=12)
        canvas.setFont(typeface.SANS, 7.6)
        canvas.setFillColor(INK)
        if right:
            canvas.drawRightString(0, 0, text)
        else:
            canvas.drawString(0, 0, text)
        canvas.endForm()
