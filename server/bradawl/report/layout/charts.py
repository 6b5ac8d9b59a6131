"""Draws small vector charts: compression, fuel pressure, tread, coverage, cost, tip-over.

Every chart says its figures in words beside its shapes, and needs no color. Import only after
`typeface.register()`.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from reportlab.platypus import Flowable

from bradawl.inspection.said import place_text
from bradawl.language import measure, text
from bradawl.report.layout import typeface
from bradawl.report.layout.flowables import fitted
from bradawl.report.layout.style import ACCENT, EDGE, GRADE_COLOR, INK, MM
from bradawl.report.model.figures import Compression, FuelPressure, LimitLine, Tread

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

__all__ = ["compression", "coverage", "curve", "fuel_pressure", "tip_over", "tread"]

_SIZE = 6.8
_FILL = "#B9C6D6"


class Chart(Flowable):  # type: ignore[misc]
    """A drawing of fixed size; `paint` draws with the origin at the lower left."""

    def __init__(self, width: float, height: float, paint: Callable[[Any], None]) -> None:
        super().__init__()
        self._size, self._paint = (width, height), paint

    def wrap(self, *_: float) -> tuple[float, float]:
        self.width, self.height = self._size
        return self._size

    def draw(self) -> None:
        canvas = self.canv
        canvas.saveState()
        canvas.setFont(typeface.SANS, _SIZE)
        canvas.setFillColor(INK)
        canvas.setStrokeColor(INK)
        canvas.setLineWidth(0.5)
        self._paint(canvas)
        canvas.restoreState()


def _text(
    canvas: Canvas, x: float, y: float, said: str, *, bold: bool = False, how: str = "c"
) -> None:
    canvas.setFillColor(INK)
    canvas.setFont(typeface.BOLD if bold else typeface.SANS, _SIZE)
    draw = {"c": canvas.drawCentredString, "l": canvas.drawString, "r": canvas.drawRightString}[how]
    draw(x, y, said)


def _rule(canvas: Canvas, line: LimitLine, y: float, left: float, right: float) -> None:
    """A dashed limit across the chart, its words at the right end above it."""
    canvas.saveState()
    canvas.setStrokeColor(GRADE_COLOR["dangerous"])
    canvas.setLineWidth(0.9)
    canvas.setDash(4, 2)
    canvas.line(left, y, right, y)
    canvas.restoreState()
    _text(canvas, right, y + 2, line.text, how="r")


def compression(figures: Compression, width: float) -> Chart:
    """Bars per cylinder, dry solid and wet outlined, against the spread rule."""
    height = 42 * MM
    wide = min(width, 60 + 46.0 * len(figures.bars) + 90)

    def paint(canvas: Canvas) -> None:
        base, top = 22.0, height - 14
        peak = max(max(bar.dry, bar.wet or 0) for bar in figures.bars)
        scale = (top - base) / peak
        each = (wide - 100) / len(figures.bars)
        canvas.line(0, base, wide, base)
        for at, bar in enumerate(figures.bars):
            x = 8 + at * each
            thick = min(each * 0.36, 20)
            canvas.setFillColor("#8E6A9A" if bar.low else _FILL)
            canvas.setLineWidth(1.2 if bar.low else 0.5)
            canvas.rect(x, base, thick, bar.dry * scale, stroke=1, fill=1)
            _text(
                canvas,
                x + thick / 2,
                base + bar.dry * scale + 2,
                bar.text,
                bold=bar.low,
            )
            if bar.wet is not None:
                canvas.setDash(2, 1.4)
                canvas.setLineWidth(0.6)
                canvas.rect(x + thick + 2, base, thick, bar.wet * scale, stroke=1, fill=0)
                canvas.setDash()
                _text(canvas, x + 1.5 * thick + 2, base + bar.wet * scale + 2, bar.wet_text)
            low = "report-chart-cylinder-low" if bar.low else "report-chart-cylinder"
            _text(canvas, x + thick, base - 9, text(low, name=bar.name), bold=bar.low)
        _rule(canvas, figures.rule, base + figures.rule.at * scale, 0, wide)
        wet = any(bar.wet is not None for bar in figures.bars)
        legend = "report-chart-compression-wet" if wet else "report-chart-compression"
        _text(canvas, 0, 2, text(legend, unit=figures.unit), how="l")

    return Chart(wide, height, paint)


def fuel_pressure(figures: FuelPressure, width: float) -> Chart:
    """Steps of the rail's pressure, with a tick where each was expected."""
    height = 40 * MM
    wide = min(width, 84.0 * len(figures.steps) + 20)

    def paint(canvas: Canvas) -> None:
        base, top = 22.0, height - 16
        peak = max(max(step.measured, step.expected or 0) for step in figures.steps) or 1
        scale = (top - base) / peak
        each = wide / len(figures.steps)
        canvas.line(0, base, wide, base)
        for at, step in enumerate(figures.steps):
            x = at * each + 6
            thick = each - 34
            canvas.setFillColor(_FILL)
            canvas.rect(x, base, thick, step.measured * scale, stroke=1, fill=1)
            _text(canvas, x + thick / 2, base + step.measured * scale + 2, step.text, bold=True)
            _text(canvas, x + thick / 2, base - 9, step.name)
            if step.expected is not None:
                y = base + step.expected * scale
                canvas.setLineWidth(1.4)
                canvas.line(x - 4, y, x + thick + 4, y)
                canvas.setLineWidth(0.5)
                overlap = abs(step.expected - step.measured) * scale < 9
                _text(
                    canvas, x + thick / 2, y - 8 if overlap or y < 30 else y + 2, step.expected_text
                )
        _text(canvas, 0, 2, text("report-chart-fuel", unit=figures.unit), how="l")

    return Chart(wide, height, paint)


def tread(figures: Tread, width: float) -> Chart:
    """Three bars across each tire, outer to inner as they stand on the car, and the limits."""
    height = 36 * MM
    wide = min(width, 92.0 * len(figures.tires) + 110)

    def paint(canvas: Canvas) -> None:
        base, top = 30.0, height - 8
        depths = [rib for tire in figures.tires for rib in tire.ribs if rib is not None]
        peak = max([*depths, *(line.at for line in figures.lines)]) or 1
        scale = (top - base) / (peak * 1.15)
        each = (wide - 100) / len(figures.tires)
        canvas.line(0, base, wide - 90, base)
        for at, tire in enumerate(figures.tires):
            order = (0, 1, 2) if tire.name.endswith("left") else (2, 1, 0)
            thick = (each - 18) / 3
            for slot, rib in enumerate(order):
                depth = tire.ribs[rib]
                x = at * each + 8 + slot * thick
                if depth is None:
                    continue
                below = any(depth < line.at for line in figures.lines)
                canvas.setFillColor("#8E6A9A" if below else _FILL)
                canvas.setLineWidth(1.1 if below else 0.5)
                canvas.rect(x, base, thick - 2, depth * scale, stroke=1, fill=1)
                _text(
                    canvas, x + thick / 2 - 1, base + depth * scale + 2, tire.texts[rib], bold=below
                )
            middle = at * each + 8 + 1.5 * thick
            _text(canvas, middle, base - 9, place_text(tire.name), bold=True)
            if tire.pattern:
                _text(canvas, middle, base - 18, tire.pattern)
        clear = 0.0  # words of close limits stand one above the other
        for line in sorted(figures.lines, key=lambda line: line.at):
            y = base + line.at * scale
            canvas.saveState()
            canvas.setStrokeColor(GRADE_COLOR["dangerous"])
            canvas.setDash(4, 2)
            canvas.line(0, y, wide - 90, y)
            canvas.restoreState()
            clear = max(y - 2, clear + 8)
            _text(canvas, wide - 87, clear, line.text, how="l")
        _text(canvas, 0, 2, text("report-chart-tread", unit=figures.unit), how="l")

    return Chart(wide, height, paint)


def _seen(seen: int, total: int) -> str:
    return text("report-coverage-area", seen=seen, total=total)


def coverage(rows: Sequence[tuple[str, int, int]], width: float) -> Chart:
    """Per area (title, inspected, total): solid for inspected, dashed for what nobody saw."""
    columns = 3 if len(rows) > 16 else 2
    deep = -(-len(rows) // columns)
    line, gutter = 11.0, 14.0
    column = (width - gutter * (columns - 1)) / columns
    height = deep * line + 4

    def paint(canvas: Canvas) -> None:
        for at, (title, seen, total) in enumerate(rows):
            x = at // deep * (column + gutter)
            y = height - (at % deep + 1) * line
            label = column * (0.42 if columns == 2 else 0.50)
            _text(canvas, x, y + 2, fitted(title, typeface.SANS, _SIZE, label - 4), how="l")
            bar = column - label - 38
            canvas.setLineWidth(0.6)
            canvas.setDash(2, 1.4)
            canvas.setStrokeColor(EDGE)
            canvas.rect(x + label, y + 1, bar, 6.4, stroke=1, fill=0)
            canvas.setDash()
            if seen:
                canvas.setStrokeColor(INK)
                canvas.setFillColor("#52657B")
                canvas.rect(x + label, y + 1, bar * seen / total, 6.4, stroke=1, fill=1)
            _text(canvas, x + column, y + 2, _seen(seen, total), how="r")

    return Chart(width, height, paint)


@dataclass(frozen=True)
class _Plot:
    """An area between axes, in points, and the figures at its ends; y begins at 0."""

    left: float
    base: float
    right: float
    top: float
    x_low: float
    x_high: float
    y_high: float

    def at(self, x: float, y: float) -> tuple[float, float]:
        """Where a pair of figures lies."""
        across = (x - self.x_low) / ((self.x_high - self.x_low) or 1.0)
        return (
            self.left + across * (self.right - self.left),
            self.base + y / self.y_high * (self.top - self.base),
        )

    def axes(self, canvas: Canvas, y_text: Callable[[float], str]) -> None:
        """Both axes, the upright one with figures at its foot, middle and head."""
        canvas.line(self.left, self.base, self.right, self.base)
        canvas.line(self.left, self.base, self.left, self.top)
        for share in (0.0, 0.5, 1.0):
            y = self.base + share * (self.top - self.base) - 2
            _text(canvas, self.left - 3, y, y_text(self.y_high * share), how="r")


def curve(
    points: Sequence[tuple[float, float]],
    marks: Sequence[tuple[float, str]],
    *,
    width: float,
    x_title: str,
    y_title: str,
    money_text: Callable[[float], str],
) -> Chart:
    """A rising curve (x, share from 0 to 1) with marked points, such as P50, P80 and P90."""
    width, height = min(width, 150 * MM), 56 * MM
    low, high = min(x for x, _ in points), max(x for x, _ in points)
    plot = _Plot(34.0, 26.0, width - 8, height - 14, low, high, 1.0)

    def paint(canvas: Canvas) -> None:
        plot.axes(canvas, lambda share: measure((round(share * 100), 1), "%"))
        for fifth in range(5):
            x = low + ((high - low) or 1.0) * fifth / 4
            at, _ = plot.at(x, 0)
            canvas.line(at, plot.base, at, plot.base - 3)
            _text(canvas, at, plot.base - 11, money_text(x))
        path = _path(canvas, [plot.at(*point) for point in points])
        canvas.setLineWidth(1.4)
        canvas.setStrokeColor(ACCENT)
        canvas.drawPath(path, stroke=1, fill=0)
        canvas.setStrokeColor(INK)
        canvas.setLineWidth(0.6)
        for value, label in marks:
            x, y = plot.at(value, _share_at(points, value))
            canvas.setDash(3, 2)
            canvas.line(x, plot.base, x, y)
            canvas.setDash()
            canvas.setFillColor(INK)
            canvas.circle(x, y, 2, stroke=0, fill=1)
            said = text("report-chart-cost-mark", mark=label, amount=money_text(value))
            _text(canvas, x - 4, y + 3, said, bold=True, how="r")
        _text(canvas, (plot.left + plot.right) / 2, 3, x_title)
        _text(canvas, plot.left, plot.top + 5, y_title, how="l")

    return Chart(width, height, paint)


def _share_at(points: Sequence[tuple[float, float]], value: float) -> float:
    for (x0, y0), (x1, y1) in itertools.pairwise(points):
        if x0 <= value <= x1:
            return y0 if x1 == x0 else y0 + (y1 - y0) * (value - x0) / (x1 - x0)
    return points[-1][1] if value > points[-1][0] else points[0][1]


def tip_over(
    by_count: Sequence[tuple[float, float, float]],
    assembly: float,
    *,
    width: float,
    money_text: Callable[[float], str],
) -> Chart:
    """Mending piece by piece (from lowest to highest) against the whole assembly's cost."""
    width, height = min(width, 130 * MM), 48 * MM
    most = max(count for count, _, _ in by_count) or 1
    peak = max([assembly, *(high for _, _, high in by_count)]) or 1
    plot = _Plot(44.0, 24.0, width - 8, height - 12, 0, most, peak)

    def paint(canvas: Canvas) -> None:
        lowest = [plot.at(count, low) for count, low, _ in by_count]
        highest = [plot.at(count, high) for count, _, high in reversed(by_count)]
        band = _path(canvas, [*lowest, *highest])
        band.close()
        canvas.setFillColor("#D5DCE5")
        canvas.drawPath(band, stroke=1, fill=1)
        canvas.setFillColor(INK)
        plot.axes(canvas, money_text)
        for count in range(0, int(most) + 1, max(1, int(most) // 8)):
            _text(canvas, plot.at(count, 0)[0], plot.base - 9, str(count))
        _, y = plot.at(0, assembly)
        canvas.setDash(5, 2)
        canvas.setLineWidth(1.3)
        canvas.line(plot.left, y, plot.right, y)
        canvas.setDash()
        label = text("report-chart-assembly", amount=money_text(assembly))
        canvas.setFillColor("#FFFFFF")
        covered = canvas.stringWidth(label, typeface.BOLD, _SIZE) + 4
        canvas.rect(plot.left + 6, y + 1.4, covered, 8.4, stroke=0, fill=1)
        _text(canvas, plot.left + 8, y + 3, label, bold=True, how="l")
        middle = (plot.left + plot.right) / 2
        _text(canvas, middle, 3, text("report-chart-fixing"))

    return Chart(width, height, paint)


def _path(canvas: Canvas, points: Sequence[tuple[float, float]]) -> Any:
    path = canvas.beginPath()
    path.moveTo(*points[0])
    for point in points[1:]:
        path.lineTo(*point)
    return path
