"""Draws a signature made with a finger, and says where signatures go; shown, never the proof."""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from bradawl.inspection import cell_values
from bradawl.report.layout import typeface
from bradawl.report.layout.style import EDGE, INK

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

__all__ = ["SignatureBox", "draw", "signature_appearance"]


@dataclass(frozen=True)
class SignatureBox:
    """Where on a page a signature field lies: page index from 0, corners in points."""

    page: int
    corners: tuple[float, float, float, float]


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


def signature_appearance(
    name: str, strokes: Sequence[Sequence[float]], *, width: float, height: float
) -> bytes:
    """A one-page PDF of the given size (points): drawn strokes, a line and the name."""
    typeface.register()
    from bradawl.report.layout.text_canvas import TextCanvas

    out = io.BytesIO()
    canvas = TextCanvas(out, pagesize=(width, height), initialFontName=typeface.SANS)
    ink = typeface.PrintableText()
    label = ink.text(name)
    size = 8.0
    canvas.setFont(typeface.SANS, size)
    while canvas.stringWidth(label, typeface.SANS, size) > width - 8 and size > 4:
        size -= 0.5
    canvas.setStrokeColor(EDGE)
    canvas.line(4, 14, width - 4, 14)
    draw(canvas, strokes, x=8, y=18, width=width - 16, height=height - 24)
    canvas.setFont(typeface.SANS, size)
    canvas.setFillColor(INK)
    canvas.drawString(4, 4, label)
    canvas.showPage()
    canvas.save()
    return out.getvalue()
