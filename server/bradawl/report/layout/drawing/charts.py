"""Draws small vector charts that a column holds: compression, fuel pressure, tread, cost, tip-over.

Every chart says its figures in words beside its shapes, and needs no color; the words that explain
it stand below it as a paragraph. Import only after `typeface.register()`.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from html import escape
from typing import TYPE_CHECKING, Any

from reportlab.platypus import Flowable

from bradawl.inspection.said import place_text
from bradawl.language import listed, measure, text
from bradawl.report.layout.style import EDGE, INK, NARROW, NARROW_BOLD, WELL
from bradawl.report.layout.text.paragraphs import paragraph
from bradawl.report.model.figures import Compression, FuelPressure, Tread
from bradawl.report.pdf.structure import Element

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

__all__ = ["compression", "curve", "fuel_pressure", "tip_over", "tread"]

_SIZE = 6.8
_SMALLEST = 5.0  # points; what is still wider stands upright
_FILL, _LOW = WELL, EDGE


class Chart(Flowable):  # type: ignore[misc]
    """A drawing of fixed size; `paint` draws with the origin at the lower left."""

    def __init__(self, width: float, height: float, paint: Callable[[Any], None]) -> None:
        super().__init__()
        self._size, self._paint = (width, height), paint
        self.spaceBefore = 4
        self.element = Element("Figure")

    def wrap(self, *_: float) -> tuple[float, float]:
        self.width, self.height = self._size
        return self._size

    def draw(self) -> None:
        canvas = self.canv
        canvas.saveState()
        canvas.setFont(NARROW, _SIZE)
        canvas.setFillColor(INK)
        canvas.setStrokeColor(INK)
        canvas.setLineWidth(0.5)
        with canvas.figure(self.element, *self._size):
            self._paint(canvas)
        canvas.restoreState()


def _with_words(chart: Chart, *sentences: str) -> list[Flowable]:
    """A chart and, below it, what its shapes mean."""
    chart.element.alternative = " ".join(sentences)
    return [chart, paragraph(escape(" ".join(sentences), quote=False), "small")]


def _text(
    canvas: Canvas, x: float, y: float, said: str, *, bold: bool = False, how: str = "c"
) -> None:
    canvas.setFillColor(INK)
    canvas.setFont(NARROW_BOLD if bold else NARROW, _SIZE)
    draw = {"c": canvas.drawCentredString, "l": canvas.drawString, "r": canvas.drawRightString}[how]
    draw(x, y, said)


def _width(canvas: Canvas, said: str, *, bold: bool = False, size: float = _SIZE) -> float:
    return float(canvas.stringWidth(said, NARROW_BOLD if bold else NARROW, size))


def _figure(
    canvas: Canvas, x: float, y: float, said: str, room: float, *, bold: bool = False
) -> None:
    """A figure centered above x, y, smaller where it is wider than its room, else upright."""
    font = NARROW_BOLD if bold else NARROW
    size = min(_SIZE, _SIZE * room / max(_width(canvas, said, bold=bold), 0.1))
    canvas.saveState()
    canvas.setFillColor(INK)
    if size >= _SMALLEST:
        canvas.setFont(font, size)
        canvas.drawCentredString(x, y, said)
    else:
        canvas.setFont(font, _SIZE)
        canvas.translate(x + _SIZE * 0.36, y)
        canvas.rotate(90)
        canvas.drawString(0, 0, said)
    canvas.restoreState()


def _limit(canvas: Canvas, y: float, left: float, right: float, sign: str = "") -> None:
    """A dashed limit across the chart, its sign at the right end."""
    canvas.saveState()
    canvas.setLineWidth(0.9)
    canvas.setDash(4, 2)
    canvas.line(left, y, right, y)
    canvas.restoreState()
    if sign:
        _text(canvas, right + 2, y - 2.2, sign, bold=True, how="l")


def compression(figures: Compression, width: float) -> list[Flowable]:
    """Bars per cylinder, dry solid and wet outlined, against the spread rule."""
    bars = figures.bars
    wet = any(bar.wet is not None for bar in bars)
    height, base, top = 108.0, 12.0, 86.0
    wide = min(width, 12 + 40.0 * len(bars))
    each = wide / len(bars)
    gap = min(6.0, each * 0.2)
    thick = (each - gap) / (2 if wet else 1)
    thick = min(thick, 18.0)

    def paint(canvas: Canvas) -> None:
        peak = max(max(bar.dry, bar.wet or 0) for bar in bars) or 1
        scale = (top - base) / peak
        canvas.line(0, base, wide, base)
        for at, bar in enumerate(bars):
            x = at * each + (each - thick * (2 if wet else 1)) / 2
            canvas.setFillColor(_LOW if bar.low else _FILL)
            canvas.setLineWidth(1.1 if bar.low else 0.5)
            canvas.rect(x, base, thick, bar.dry * scale, stroke=1, fill=1)
            room = thick - 1 if wet else each - 1
            y = base + bar.dry * scale + 2
            _figure(canvas, x + thick / 2, y, bar.text, room, bold=bar.low)
            if bar.wet is not None:
                canvas.saveState()
                canvas.setDash(2, 1.4)
                canvas.rect(x + thick, base, thick, bar.wet * scale, stroke=1, fill=0)
                canvas.restoreState()
                y = base + bar.wet * scale + 2
                _figure(canvas, x + 1.5 * thick, y, bar.wet_text, room)
            _figure(canvas, (at + 0.5) * each, base - 8, bar.name, each - 1, bold=bar.low)
        _limit(canvas, base + figures.rule.at * scale, 0, wide)

    legend = "report-chart-compression-wet" if wet else "report-chart-compression"
    said = [text(legend, unit=figures.unit, rule=figures.rule.text)]
    if low := [bar.name for bar in bars if bar.low]:
        said.append(text("report-chart-compression-low", names=listed(low), count=len(low)))
    return _with_words(Chart(wide, height, paint), *said)


def fuel_pressure(figures: FuelPressure, width: float) -> list[Flowable]:
    """The rail's pressure step by step, one below the other, with a tick where each should be."""
    line, label = 13.0, 62.0
    height = line * len(figures.steps) + 2
    room = width - label - 36

    def paint(canvas: Canvas) -> None:
        peak = max(max(step.measured, step.expected or 0) for step in figures.steps) or 1
        scale = room / peak
        canvas.line(label, 0, label, height - 2)
        for at, step in enumerate(figures.steps):
            y = height - 2 - (at + 1) * line
            _text(canvas, label - 3, y + 4, step.name, how="r")
            canvas.setFillColor(_FILL)
            canvas.rect(label, y + 2, step.measured * scale, line - 4, stroke=1, fill=1)
            end = step.measured
            if step.expected is not None:
                x = label + step.expected * scale
                canvas.setLineWidth(1.6)
                canvas.line(x, y, x, y + line)
                canvas.setLineWidth(0.5)
                end = max(end, step.expected)
            _text(canvas, label + end * scale + 3, y + 4, step.text, bold=True, how="l")

    expected = [
        text("report-labeled", label=step.name, text=step.expected_text)
        for step in figures.steps
        if step.expected_text
    ]
    said = text("report-chart-fuel", unit=figures.unit)
    return _with_words(Chart(width, height, paint), said, *(f"{one}." for one in expected))


def tread(figures: Tread, width: float) -> list[Flowable]:
    """Three bars across each tire, outer to inner as they stand on the car, and the limits."""
    height, base = 84.0, 12.0
    lines = sorted(figures.lines, key=lambda line: -line.at)
    wide = min(width, 60.0 * len(figures.tires) + 14)
    right = wide - (10 if lines else 0)
    each = right / len(figures.tires)
    thick = (each - 6) / 3

    def paint(canvas: Canvas) -> None:
        depths = [rib for tire in figures.tires for rib in tire.ribs if rib is not None]
        peak = max([*depths, *(line.at for line in lines)]) or 1
        scale = (height - 12 - base) / peak
        canvas.line(0, base, right, base)
        for at, tire in enumerate(figures.tires):
            order = (0, 1, 2) if tire.name.endswith("left") else (2, 1, 0)
            for slot, rib in enumerate(order):
                depth = tire.ribs[rib]
                x = at * each + 3 + slot * thick
                if depth is None:
                    continue
                below = any(depth < line.at for line in lines)
                canvas.setFillColor(_LOW if below else _FILL)
                canvas.setLineWidth(1.1 if below else 0.5)
                canvas.rect(x, base, thick - 1.5, depth * scale, stroke=1, fill=1)
                middle, y = x + thick / 2 - 0.75, base + depth * scale + 2
                _figure(canvas, middle, y, tire.texts[rib], thick - 1, bold=below)
            _figure(canvas, (at + 0.5) * each, base - 9, place_text(tire.name), each - 2)
        clear = height  # signs of close limits stand one below the other
        for sign, line in zip(_SIGNS, lines, strict=False):
            y = base + line.at * scale
            _limit(canvas, y, 0, right)
            clear = min(y - 2.2, clear - 7)
            _text(canvas, right + 2, clear, sign, bold=True, how="l")

    said = text("report-chart-tread", unit=figures.unit)
    signs = [f"{sign}: {line.text}." for sign, line in zip(_SIGNS, lines, strict=False)]
    return _with_words(Chart(wide, height, paint), said, *signs)


_SIGNS = "abcdefgh"


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
    money_text: Callable[[float], str],
) -> list[Flowable]:
    """A rising curve (x, share from 0 to 1) with marked points, such as P50, P80 and P90."""
    height = 104.0
    low, high = min(x for x, _ in points), max(x for x, _ in points)
    plot = _Plot(24.0, 14.0, width - 4, height - 10, low, high, 1.0)

    def paint(canvas: Canvas) -> None:
        plot.axes(canvas, lambda share: measure((round(share * 100), 1), "%"))
        for half, how in ((0, "l"), (1, "c"), (2, "r")):
            x = low + (high - low) * half / 2
            at, _ = plot.at(x, 0)
            canvas.line(at, plot.base, at, plot.base - 2)
            _text(canvas, at, plot.base - 9, money_text(x), how=how)
        path = _path(canvas, [plot.at(*point) for point in points])
        canvas.setLineWidth(1.3)
        canvas.drawPath(path, stroke=1, fill=0)
        canvas.setLineWidth(0.6)
        clear = plot.base
        for value, label in marks:
            x, y = plot.at(value, _share_at(points, value))
            canvas.setDash(2, 2)
            canvas.line(x, plot.base, x, y)
            canvas.setDash()
            canvas.setFillColor(INK)
            canvas.circle(x, y, 1.8, stroke=0, fill=1)
            said = text("report-chart-cost-mark", mark=label, amount=money_text(value))
            clear = max(y + 2, clear)  # labels of close marks stand one above the other
            if x - 4 - _width(canvas, said, bold=True) > plot.left + 2:
                _text(canvas, x - 4, clear, said, bold=True, how="r")
            else:
                _text(canvas, x + 4, clear - 6, said, bold=True, how="l")
            clear += 7.4

    return _with_words(Chart(width, height, paint), text("report-chart-cost"))


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
) -> list[Flowable]:
    """Mending piece by piece (from lowest to highest) against the whole assembly's cost."""
    height = 84.0
    most = max(count for count, _, _ in by_count) or 1
    peak = max([assembly, *(high for _, _, high in by_count)]) or 1
    plot = _Plot(34.0, 12.0, width - 4, height - 6, 0, most, peak)

    def paint(canvas: Canvas) -> None:
        lowest = [plot.at(count, low) for count, low, _ in by_count]
        highest = [plot.at(count, high) for count, _, high in reversed(by_count)]
        band = _path(canvas, [*lowest, *highest])
        band.close()
        canvas.setFillColor(_FILL)
        canvas.drawPath(band, stroke=1, fill=1)
        canvas.setFillColor(INK)
        plot.axes(canvas, money_text)
        for count in range(0, int(most) + 1, max(1, int(most) // 6)):
            _text(canvas, plot.at(count, 0)[0], plot.base - 9, str(count))
        _, y = plot.at(0, assembly)
        canvas.setDash(5, 2)
        canvas.setLineWidth(1.3)
        canvas.line(plot.left, y, plot.right, y)
        canvas.setDash()

    label = text("report-chart-assembly", amount=money_text(assembly))
    return _with_words(Chart(width, height, paint), text("report-chart-fixing"), label)


def _path(canvas: Canvas, points: Sequence[tuple[float, float]]) -> Any:
    path = canvas.beginPath()
    path.moveTo(*points[0])
    for point in points[1:]:
        path.lineTo(*point)
    return path
