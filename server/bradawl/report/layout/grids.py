"""Lays out cells in rows: tables with a head that repeats, columns, grids of photos.

Import only after `typeface.register()`.
"""

from __future__ import annotations

import contextlib
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any, NamedTuple

from reportlab.platypus import Flowable, FrameBreak

from bradawl.report.layout.style import INK, RULE, WELL
from bradawl.report.layout.tagged_canvas import TaggedCanvas
from bradawl.report.pdf.structure import Element

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

__all__ = ["Grid", "Padding", "stacked_height"]

_NEAR = 1e-6


class Padding(NamedTuple):
    """Room around what is in a cell, in points."""

    left: float = 0
    right: float = 0
    top: float = 0
    bottom: float = 0


def stacked_height(cell: Sequence[Flowable], width: float) -> float:
    """How tall flowables are one below the other, without the room before and after them."""
    height, space_after = 0.0, 0.0
    for number, flowable in enumerate(cell):
        if number:
            height += max(space_after, flowable.getSpaceBefore())
        height += flowable.wrap(width, 1e6)[1]
        space_after = flowable.getSpaceAfter()
    return height


class Grid(Flowable):  # type: ignore[misc]
    """Rows of cells, each a list of flowables under each other, set at the top.

    `widths` and paddings are points. With `head` the first row stands on a ground and again at
    the top of every page; `ruled` draws a line under each row. A row is divided only when it is
    taller than a page.
    """

    def __init__(
        self,
        rows: Sequence[Sequence[Sequence[Flowable]]],
        widths: Sequence[float],
        padding: Padding | Sequence[Padding],
        *,
        head: bool = False,
        ruled: bool = False,
        before: float = 0,
        after: float = 0,
    ) -> None:
        super().__init__()
        self._rows, self._widths = rows, widths
        self._padding = [padding] * len(widths) if isinstance(padding, Padding) else padding
        self._head, self._ruled = head, ruled
        self.spaceBefore, self.spaceAfter = before, after
        self.width = sum(widths)
        self._element: Element | None = None
        self._continued = False
        self._heights: list[float] = []

    def wrap(self, available_width: float, _: float) -> tuple[float, float]:
        if not self._heights:
            self._heights = [self._row_height(row) for row in self._rows]
            self.height = sum(self._heights)
        return self.width, self.height

    def _row_height(self, row: Sequence[Sequence[Flowable]]) -> float:
        return max(
            stacked_height(cell, width - pad.left - pad.right) + pad.top + pad.bottom
            for cell, width, pad in zip(row, self._widths, self._padding, strict=True)
        )

    def start_height(self) -> float:
        """Height of what a heading above needs on its page: the head and two rows."""
        self.wrap(self.width, 0)
        return sum(self._heights[: int(self._head) + 2])

    def split(self, available_width: float, available_height: float) -> list[Flowable]:
        self.wrap(available_width, available_height)
        if self.height <= available_height + _NEAR:
            return [self]
        first = 1 if self._head else 0
        fit, height = first, sum(self._heights[:first])
        while height + self._heights[fit] <= available_height + _NEAR:
            height += self._heights[fit]
            fit += 1
        frame = getattr(self, "_frame", None)
        page = frame._aH if frame is not None else available_height
        at_top = available_height >= page - _NEAR
        room = available_height - height
        if self._heights[fit] + sum(self._heights[:first]) > page and room > page / 4:
            return self._divided(fit, room)
        if fit == first:
            return []
        left = len(self._rows) - fit
        if not at_top and self._head and fit - first == 1 and left > 1:
            return []  # a head and one row would stand alone at the foot
        if left == 1 and fit - first > 2:
            fit -= 1  # and one row alone under a head overleaf
        upper = self._part(self._rows[:fit])
        lower = self._part([*self._rows[:first], *self._rows[fit:]], continued=True)
        # the head stands again at the top of a page or column, never in its middle
        return [upper, FrameBreak, lower] if self._head else [upper, lower]

    def _divided(self, number: int, room: float) -> list[Flowable]:
        """The rows before one taller than a page together with what of it fits, and the rest."""
        upper, lower = [], []
        for cell, width, padding in zip(
            self._rows[number], self._widths, self._padding, strict=True
        ):
            inner_width = width - padding.left - padding.right
            left = room - padding.top - padding.bottom
            fits: list[Flowable] = []
            rest = list(cell)
            while rest:
                height = rest[0].wrap(inner_width, left)[1]
                height += rest[0].getSpaceBefore() if fits else 0
                if height > left:
                    parts = rest[0].split(inner_width, left)
                    if len(parts) > 1:
                        fits.append(parts[0])
                        rest[0:1] = parts[1:]
                    break
                left -= height + rest[0].getSpaceAfter()
                fits.append(rest.pop(0))
            upper.append(fits)
            lower.append(rest)
        if not any(upper):
            return []
        return [
            self._part([*self._rows[:number], upper]),
            self._part(
                [*self._rows[: int(self._head)], lower, *self._rows[number + 1 :]], continued=True
            ),
        ]

    def _part(
        self, rows: Sequence[Sequence[Sequence[Flowable]]], *, continued: bool = False
    ) -> Grid:
        self._element = self._element or Element("Table")
        part = Grid(
            rows,
            self._widths,
            self._padding,
            head=self._head,
            ruled=self._ruled,
            before=self.spaceBefore,
            after=self.spaceAfter,
        )
        part._element, part._continued = self._element, continued or self._continued
        return part

    def drawOn(self, canvas: Canvas, x: float, y: float, _sW: float = 0) -> None:  # noqa: N802, N803
        is_table = self._head or (self._ruled and len(self._widths) > 1)
        if isinstance(canvas, TaggedCanvas) and is_table:
            element = self._element = self._element or Element("Table")
            with canvas.inside(element):
                self._draw(canvas, x, y, tagged=True)
        else:
            self._draw(canvas, x, y, tagged=False)

    def _cell(self, row: int, column: int) -> Element:
        """What a cell of a table is: below a head data, else the first of a row heads it."""
        if self._head and row == 0:
            return Element("TH", Scope="Column")
        if not self._head and column == 0:
            return Element("TH", Scope="Row")
        return Element("TD")

    def _draw(self, canvas: Any, x: float, y: float, *, tagged: bool) -> None:
        top = y + self.height
        for number, (row, height) in enumerate(zip(self._rows, self._heights, strict=True)):
            low = top - height
            if self._head and number == 0:
                canvas.ground(x, low, self.width, height, WELL)
            with contextlib.ExitStack() as claims:
                if tagged:
                    again = self._head and self._continued and number == 0
                    claims.enter_context(
                        canvas.decoration() if again else canvas.inside(Element("TR"))
                    )
                left = x
                for column, (cell, width, pad) in enumerate(
                    zip(row, self._widths, self._padding, strict=True)
                ):
                    claim = canvas.inside(self._cell(number, column)) if tagged else _nothing()
                    with claim:
                        _draw_cell(canvas, cell, left + pad.left, top - pad.top)
                    left += width
            if self._ruled:
                strong = self._head and number == 0
                canvas.rule(x, low, self.width, 0.7 if strong else 0.3, INK if strong else RULE)
            top = low


_nothing = contextlib.nullcontext


def _draw_cell(canvas: Any, cell: Sequence[Flowable], left: float, top: float) -> None:
    """Draw flowables one below the other from `top` down."""
    baseline, space_after = top, 0.0
    for at, flowable in enumerate(cell):
        if at:
            baseline -= max(space_after, flowable.getSpaceBefore())
        baseline -= flowable.height
        flowable.drawOn(canvas, left, baseline)
        space_after = flowable.getSpaceAfter()
