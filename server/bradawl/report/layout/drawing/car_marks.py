"""What stands on the drawn car: numbered tags, taps, the pattern of a finish."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from bradawl import design
from bradawl.report.layout.style import GRADE_COLOR, GREY, INK, traced
from bradawl.report.layout.text import typeface

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas


GLASS, HATCH, FAINT = "#E3E7E9", "#4A525C", "#8C949B"


@dataclass(frozen=True)
class Mark:
    """A numbered finding, the places of the drawn car where it lies, whether it is repaired."""

    number: int
    grade: str
    places: tuple[str, ...]
    is_mended: bool = False


def draw_tap(canvas: Canvas, tap: str, x: float, y: float, scale: float) -> None:
    """What was tapped on a panel, its middle at x, y, with a thin border of paper."""
    taps = design.taps()
    drawn = traced(
        canvas,
        design.path_steps(taps.get(tap, taps["other"])),
        lambda across, down: (x + across * scale, y - down * scale),
    )
    canvas.setFillColor(INK)
    canvas.setStrokeColor("#FFFFFF")
    canvas.setLineWidth(scale * 2)
    canvas.drawPath(drawn, stroke=1, fill=0)
    canvas.drawPath(drawn, stroke=0, fill=1, fillMode=0)


def fill_pattern(
    canvas: Canvas,
    outline: Any,
    extent: tuple[float, float, float, float],
    finish: str,
    scale: float,
) -> None:
    """Fill an outline by its finish; every finish has its own pattern, so that grey will do."""
    pattern = design.finishes().get(finish)
    if pattern is None:
        return
    left, low, right, high = extent
    tile = pattern.tile * scale
    canvas.saveState()
    canvas.clipPath(outline, stroke=0, fill=0)
    canvas.setStrokeColor(FAINT)
    canvas.setLineWidth(pattern.width * scale)
    canvas.setLineCap(1 if finish == "thin" else 0)
    strokes = design.path_steps(pattern.strokes)
    drawn = canvas.beginPath()
    x = left
    while x < right:
        y = low
        while y < high:
            for command, numbers in strokes:
                point = (x + numbers[0] * scale, y + tile - numbers[1] * scale)
                (drawn.moveTo if command == "M" else drawn.lineTo)(*point)
            y += tile
        x += tile
    canvas.drawPath(drawn, stroke=1, fill=0)
    canvas.restoreState()


def draw_mark(canvas: Canvas, mark: Mark, x: float, y: float, wide: float, high: float) -> None:
    """A numbered tag with sheared corners: outlined when minor, heavy when major, else solid.

    That of a repaired fault is outlined, and torn at its edge.
    """
    color = GREY if mark.is_mended else GRADE_COLOR[mark.grade]
    solid = mark.grade == "dangerous" and not mark.is_mended
    heavy = 0.5 if mark.grade == "minor" else 1.0
    left, right, low, top = x + 0.5, x + wide - 0.5, y + 0.4, y + high - 0.4
    cut = (top - low) * 0.27
    canvas.setStrokeColor(color)
    canvas.setFillColor(color if solid else "#FFFFFF")
    canvas.setLineWidth(heavy)
    tag = canvas.beginPath()
    tag.moveTo(left + cut, top)
    deep = top - low
    edge = [(right, top)]
    if mark.is_mended:
        tears = ((0.32, 0), (0.06, 0.22), (0.3, 0.4), (0, 0.6))
        edge = [(right - x * deep, top - y * deep) for x, y in tears]
    for point in (*edge, (right, low + cut), (right - cut, low), (left, low)):
        tag.lineTo(*point)
    tag.lineTo(left, top - cut)
    tag.close()
    canvas.drawPath(tag, stroke=1, fill=1)
    canvas.setFillColor("#FFFFFF" if solid else color)
    size = high * 0.78
    canvas.setFont(typeface.NARROW_BOLD, size)
    canvas.drawCentredString((left + right) / 2, (low + top) / 2 - size * 0.36, str(mark.number))
