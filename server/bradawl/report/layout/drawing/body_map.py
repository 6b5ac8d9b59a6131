"""Draws the car from its left, from above and from its right, with paint film and findings on it.

Import only after `typeface.register()`.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any, NamedTuple

from reportlab.platypus import Flowable

from bradawl import design
from bradawl.design import outlines
from bradawl.design.marked_car import Marked, Size, lay_out
from bradawl.design.outlines import BodyStyle, Box, View
from bradawl.language import text
from bradawl.report.layout.drawing.car_marks import (
    FAINT,
    GLASS,
    HATCH,
    Mark,
    draw_mark,
    draw_tap,
    fill_pattern,
)
from bradawl.report.layout.style import INK, traced
from bradawl.report.layout.text import typeface
from bradawl.report.model.figures import Paint
from bradawl.report.pdf.structure import Element

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

__all__ = ["BodyMap"]

#: From this width on the two sides stand beside each other, and the legend beside the plan.
WIDE = 300.0
#: From this scale on type and marks are larger: points per centimeter of the outlines.
ROOMY = 0.5
GUTTER = 12.0
CAPTION = 10.0
_CAPTIONS = {"left": "report-map-left", "plan": "report-map-top", "right": "report-map-right"}
_TAPS = ("rust", "dent", "repair")


class _Sizes(NamedTuple):
    """In points: type of figures and of what stands beside the car, a mark's width and height."""

    figure: float
    small: float
    mark: Size


_NARROW_SIZES = _Sizes(5.0, 5.6, Size(7.2, 5.4))
_WIDE_SIZES = _Sizes(6.0, 6.6, Size(10.0, 7.0))


class _Placed(NamedTuple):
    """A view on the sheet: its left edge and its top from the flowable's top, in points."""

    view: View
    marked: Marked
    x: float
    top: float


class BodyMap(Flowable):  # type: ignore[misc]
    """The car with numbered marks, and panels patterned and figured by their paint.

    Fills a column of 172 to 540 pt. `tapped` are what was tapped on each panel: rust, dents, old
    repairs. A mark of which no place is drawn is left out; the key in words has it.
    """

    def __init__(
        self,
        marks: Sequence[Mark],
        paint: Paint | None,
        tapped: Mapping[str, Sequence[str]],
        *,
        width: float,
        style: BodyStyle = outlines.UNKNOWN,
    ) -> None:
        super().__init__()
        self._outline = outlines.outline(style)
        self._marks, self._paint, self._tapped = marks, paint, tapped
        self._column = width
        self._is_wide = width >= WIDE
        self._at: dict[str, list[Mark | str]] = {
            place: list(taps) for place, taps in tapped.items()
        }
        for mark in marks:
            for place in mark.places:
                self._at.setdefault(place, []).append(mark)
        across = (width - GUTTER) / 2 if self._is_wide else width
        self._scale = across / (self._outline.left.wide + 6)
        self._sizes = _WIDE_SIZES if self._scale >= ROOMY else _NARROW_SIZES
        self._views, self._tall = self._placed()
        self._legend = self._legend_lines()

    @property
    def scale(self) -> float:
        """Points per centimeter of the outlines."""
        return self._scale

    @property
    def layouts(self) -> tuple[tuple[View, Marked], ...]:
        """What stands where on each view, in centimeters: for those who check that it fits."""
        return tuple((placed.view, placed.marked) for placed in self._views)

    def wrap(self, *_: float) -> tuple[float, float]:
        self.width = self._column
        below = 0 if self._is_wide else len(self._legend) * (self._sizes.small + 4)
        self.height = self._tall + below + 4
        return self.width, self.height

    def draw(self) -> None:
        said = text("report-map-figure", count=len(self._marks))
        element = Element("Figure", alternative=said)
        with self.canv.figure(element, self.width, self.height):
            self._draw_all()

    def _draw_all(self) -> None:
        canvas = self.canv
        canvas.saveState()
        canvas.setLineJoin(1)
        canvas.setLineCap(0)
        for placed in self._views:
            _Drawing(canvas, self, placed).draw()
        self._draw_legend(canvas)
        canvas.restoreState()

    def _marked(self, view: View) -> Marked:
        counts = {place: len(marks) for place, marks in self._at.items()}
        if view.name == "right":
            # what lies ahead, behind and below is marked on the left view alone
            for place in view.places:
                counts.pop(place, None)
        mark = Size(*(side / self._scale for side in self._sizes.mark))
        return lay_out(view, self._figures(), counts, mark, self._size_of)

    def _figures(self) -> dict[str, str]:
        panels = self._paint.panels if self._paint else {}
        said = {name: panel.text for name, panel in panels.items() if panel.text}
        if self._sizes is _WIDE_SIZES:
            return said
        # a narrow panel has no room for the unit, which the sentence below the map says
        return {name: re.split(r"\s", figure, maxsplit=1)[0] for name, figure in said.items()}

    def _size_of(self, said: str) -> Size:
        from reportlab.pdfbase.pdfmetrics import stringWidth

        wide = stringWidth(said, typeface.NARROW_BOLD, self._sizes.figure) + 2
        return Size(wide / self._scale, (self._sizes.figure * 0.74 + 2) / self._scale)

    def _placed(self) -> tuple[list[_Placed], float]:
        """The views on the sheet, and how far down they reach."""
        marked: dict[str, Marked] = {view.name: self._marked(view) for view in self._outline.views}

        def height(name: str) -> float:
            view = getattr(self._outline, name)
            laid = marked[name]
            return float((laid.above + view.high + laid.below) * self._scale + CAPTION)

        if self._is_wide:
            beside = self._column / 2 + GUTTER / 2
            # both sides stand on one line
            low = max(marked["left"].above, marked["right"].above) * self._scale
            places = {
                "left": (0.0, low),
                "right": (beside, low),
                "plan": (0.0, max(height("left"), height("right"))),
            }
            places["plan"] = (0.0, places["plan"][1] + marked["plan"].above * self._scale)
            tall = max(height("left"), height("right")) + height("plan")
        else:
            places, tall = {}, 0.0
            for name in ("left", "plan", "right"):
                places[name] = (0.0, tall + marked[name].above * self._scale)
                tall += height(name)
        views = [
            _Placed(view, marked[view.name], places[view.name][0], places[view.name][1] + CAPTION)
            for view in self._outline.views
        ]
        return views, tall

    def _legend_lines(self) -> list[list[tuple[str, str]]]:
        """Rows of (kind, word) of what is on the map: finishes, then taps."""
        entries: list[tuple[str, str]] = []
        if self._paint:
            seen = {panel.finish for panel in self._paint.panels.values()}
            order = ["original", *design.finishes()]
            entries += [(one, text(f"report-map-finish-{one}")) for one in order if one in seen]
        seen_taps = {tap for taps in self._tapped.values() for tap in taps}
        entries += [(tap, text(f"report-map-tap-{tap}")) for tap in _TAPS if tap in seen_taps]
        rows: list[list[tuple[str, str]]] = []
        room = self._column / 2 - GUTTER if self._is_wide else self._column
        used = room
        for kind, word in entries:
            wide = self._entry_width(word)
            if used + wide > room:
                rows.append([])
                used = 0.0
            rows[-1].append((kind, word))
            used += wide
        return rows

    def _entry_width(self, word: str) -> float:
        from reportlab.pdfbase.pdfmetrics import stringWidth

        return float(16 + stringWidth(word, typeface.SANS, self._sizes.small) + 8)

    def _draw_legend(self, canvas: Canvas) -> None:
        line = self._sizes.small + 4
        left = self._column / 2 + GUTTER / 2 if self._is_wide else 0.0
        top = self.height - self._views[1].top if self._is_wide else 4 + len(self._legend) * line
        for row, entries in enumerate(self._legend):
            x, y = left, top - (row + 1) * line + 2
            for kind, word in entries:
                canvas.setStrokeColor(INK)
                canvas.setLineWidth(0.4)
                if kind in _TAPS:
                    draw_tap(canvas, kind, x + 6, y + 2.4, 0.36)
                else:
                    swatch = canvas.beginPath()
                    swatch.rect(x, y - 1, 12, 7)
                    fill_pattern(canvas, swatch, (x, y - 1, x + 12, y + 6), kind, 0.5)
                    canvas.rect(x, y - 1, 12, 7, stroke=1, fill=0)
                canvas.setFillColor(INK)
                canvas.setFont(typeface.SANS, self._sizes.small)
                canvas.drawString(x + 16, y, word)
                x += self._entry_width(word)


class _Drawing:
    """One view, drawn at its place of the sheet."""

    def __init__(self, canvas: Canvas, sheet: BodyMap, placed: _Placed) -> None:
        self._canvas, self._sheet = canvas, sheet
        self._view, self._marked, self._x, self._top = placed
        self._scale = sheet.scale
        self._sizes = sheet._sizes

    def _at(self, x: float, y: float) -> tuple[float, float]:
        """A point of the outlines on the flowable."""
        return self._x + (x + 3) * self._scale, self._sheet.height - self._top - y * self._scale

    def _path(self, path: str) -> Any:
        """A path of the outlines, flipped where the view is the other side."""
        view = self._view
        return traced(
            self._canvas,
            outlines.outline_steps(path),
            lambda x, y: self._at(view.length - x if view.is_mirrored else x, y),
        )

    def draw(self) -> None:
        self._caption()
        self._car()
        self._lines()
        for figure in self._marked.figures:
            self._figure(figure.text, figure.box)
        for mark in self._marked.marks:
            self._mark(self._sheet._at[mark.place][mark.number], mark.box)

    def _caption(self) -> None:
        canvas = self._canvas
        canvas.setFillColor(INK)
        canvas.setFont(typeface.SANS, self._sizes.small)
        x, y = self._at(0, -self._marked.above)
        canvas.drawString(x, y + 2, text(_CAPTIONS[self._view.name]))

    def _car(self) -> None:
        canvas, view = self._canvas, self._view
        canvas.setStrokeColor(INK)
        canvas.setLineWidth(0.7)
        canvas.setFillColor("#FFFFFF")
        canvas.drawPath(self._path(view.shell), stroke=1, fill=1)
        for x, y, radius in view.wheels.values():
            for share, color in ((1, HATCH), (0.62, "#FFFFFF"), (0.2, "#FFFFFF")):
                canvas.setFillColor(color)
                canvas.circle(*self._at(x, y), radius * share * self._scale, stroke=1, fill=1)
        canvas.setLineWidth(0.5)
        panels: Mapping[str, Any] = self._sheet._paint.panels if self._sheet._paint else {}
        for panel in view.panels:
            drawn = self._path(panel.path)
            canvas.setFillColor("#FFFFFF")
            canvas.drawPath(drawn, stroke=0, fill=1)
            if panel.id in panels:
                fill_pattern(
                    canvas, drawn, self._extent(panel.path), panels[panel.id].finish, self._scale
                )
            canvas.setStrokeColor(INK)
            canvas.drawPath(drawn, stroke=1, fill=0)
        canvas.setFillColor(GLASS)
        canvas.drawPath(self._path(view.glass), stroke=1, fill=1)
        canvas.drawPath(self._path(view.trim), stroke=1, fill=0)
        if view.ground:
            canvas.line(*self._at(0, view.ground), *self._at(view.length, view.ground))
        canvas.setStrokeColor(FAINT)
        canvas.setLineWidth(0.3)
        if view.crease:
            canvas.drawPath(self._path(view.crease), stroke=1, fill=0)

    def _extent(self, path: str) -> tuple[float, float, float, float]:
        """Left, low, right and high of a path's points."""
        xs, ys = [], []
        for _, numbers in outlines.outline_steps(path):
            for x, y in zip(numbers[::2], numbers[1::2], strict=True):
                across, up = self._at(self._view.length - x if self._view.is_mirrored else x, y)
                xs.append(across)
                ys.append(up)
        return min(xs), min(ys), max(xs), max(ys)

    def _lines(self) -> None:
        canvas = self._canvas
        canvas.setStrokeColor(INK)
        canvas.setFillColor(INK)
        canvas.setLineWidth(0.4)
        for line in self._marked.lines:
            drawn = canvas.beginPath()
            drawn.moveTo(*self._at(*line.points[0]))
            for point in line.points[1:]:
                drawn.lineTo(*self._at(*point))
            canvas.drawPath(drawn, stroke=1, fill=0)
            canvas.circle(*self._at(*line.points[0]), 0.9, stroke=0, fill=1)

    def _rectangle(self, box: Box) -> tuple[float, float, float, float]:
        left, top = self._at(box.x, box.y)
        return left, top - box.high * self._scale, box.wide * self._scale, box.high * self._scale

    def _figure(self, said: str, box: Box) -> None:
        canvas = self._canvas
        x, y, wide, high = self._rectangle(box)
        canvas.setFillColor("#FFFFFF")
        canvas.rect(x, y, wide, high, stroke=0, fill=1)
        canvas.setFillColor(INK)
        canvas.setFont(typeface.NARROW_BOLD, self._sizes.figure)
        canvas.drawCentredString(x + wide / 2, y + 1, said)

    def _mark(self, mark: Mark | str, box: Box) -> None:
        x, y, wide, high = self._rectangle(box)
        if isinstance(mark, Mark):
            draw_mark(self._canvas, mark, x, y, wide, high)
        else:
            draw_tap(self._canvas, mark, x + wide / 2, y + high / 2, high * 0.045)
