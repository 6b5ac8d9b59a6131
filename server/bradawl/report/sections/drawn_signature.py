"""Draws a signature made with a finger; shown, never the proof."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bradawl.inspection import cell_values
from bradawl.report.layout.style import INK

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

__all__ = ["draw"]


def draw(
    canvas: Canvas, strokes: object, *, x: float, y: float, width: float, height: float
) -> bool:
    """Draw the strokes inside the box (points), keeping their shape; False when there are none.

    Stroke coordinates grow downwards, as on a screen.
    """
    lines = cell_values.strokes(strokes)
    if not lines:
        return False
    across = [value for line in lines for value in line[0::2]]
    down = [value for line in lines for value in line[1::2]]
    left, top = min(across), min(down)
    scale = min(
        width / max(max(across) - left, 1.0), height / max(max(down) - top, 1.0), height / 40
    )
    canvas.saveState()
    canvas.setStrokeColor(INK)
    canvas.setFillColor(INK)
    canvas.setLineWidth(1.3)
    canvas.setLineCap(1)
    canvas.setLineJoin(1)
    for line in lines:
        points = [
            (x + (line[at] - left) * scale, y + height - (line[at + 1] - top) * scale)
            for at in range(0, len(line), 2)
        ]
        if len(points) == 1:
            canvas.circle(*points[0], 0.7, stroke=0, fill=1)
            continue
        path = canvas.beginPath()
        path.moveTo(*points[0])
        for point in points[1:]:
            path.lineTo(*point)
        canvas.drawPath(path, stroke=1, fill=0)
    canvas.restoreState()
    return True
