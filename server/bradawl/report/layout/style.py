"""Colors, paragraph styles and the punched plate that marks a grade."""

from __future__ import annotations

import functools
from typing import TYPE_CHECKING, Any, NamedTuple

from bradawl.report.layout import typeface

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

__all__ = [
    "ACCENT",
    "EDGE",
    "GRADE_COLOR",
    "GREY",
    "INK",
    "MARGIN",
    "MM",
    "PAGE_SIZES",
    "PAPER",
    "PLATE_HEIGHT",
    "PLATE_WIDTH",
    "Style",
    "draw_plate",
    "styles",
    "tint",
]

PAPER, INK, EDGE, ACCENT = "#FAF8F3", "#16202B", "#5F656E", "#0B4F8A"
GRADE_COLOR = {
    "none": "#1F5A63",
    "minor": "#40479B",
    "major": "#7A2A7E",
    "dangerous": "#9A1446",
    "uninspected": "#4A525C",
}
GRADE_HOLES = {"none": 0, "minor": 1, "major": 2, "dangerous": 3, "uninspected": 0}


@functools.cache
def tint(color: str) -> Any:
    """A color of reportlab's from `#RRGGBB` or a name, read once: its reading is slow."""
    typeface.register()
    from reportlab.lib.colors import toColor

    return toColor(color)


MM = 72 / 25.4
PAGE_SIZES = {"a4": (210 * MM, 297 * MM), "letter": (612.0, 792.0)}
MARGIN = 17 * MM


class Style(NamedTuple):
    """How a paragraph is set; sizes and room before and after in points.

    `right` sets against the right edge; `keep` keeps it on one page with what follows.
    """

    font: str = typeface.SANS
    size: float = 9
    leading: float = 12.2
    color: str = INK
    right: bool = False
    before: float = 0
    after: float = 0
    keep: bool = False


GREY = "#333B45"


@functools.cache
def styles() -> dict[str, Style]:
    """The paragraph styles by name."""
    cell = Style(size=8, leading=10.4)
    return {
        "body": Style(),
        "small": Style(size=7.6, leading=10, color=GREY),
        "row": Style(size=8.2, leading=10.4),
        "strong": Style(font=typeface.BOLD),
        "title": Style(font=typeface.BOLD, size=19, leading=23, after=1),
        "subtitle": Style(size=10.5, leading=14, color=GREY, after=5),
        "h1": Style(
            font=typeface.BOLD, size=14, leading=18, color=ACCENT, before=15, after=5, keep=True
        ),
        "h2": Style(font=typeface.BOLD, size=10.5, leading=14, before=9, after=3, keep=True),
        # above what may break across pages, where keeping with the next would push all of it on
        "h2-loose": Style(font=typeface.BOLD, size=10.5, leading=14, before=9, after=3),
        "finding": Style(font=typeface.BOLD, size=10, leading=13, keep=True),
        "answer": Style(font=typeface.BOLD, size=12.5, leading=16),
        "quiet": Style(font=typeface.ITALIC, color=GREY),
        "digest": Style(size=7.6, leading=10.4),
        "cell": cell,
        "cell-strong": cell._replace(font=typeface.BOLD),
        "cell-strong-right": cell._replace(font=typeface.BOLD, right=True),
        "cell-right": cell._replace(right=True),
    }


PLATE_WIDTH, PLATE_HEIGHT = 19.0, 9.5


def draw_plate(canvas: Canvas, x: float, y: float, grade: str, scale: float = 1.0) -> None:
    """A grade's plate with its lower left corner at x, y (points).

    Empty, one hole, two holes; three holes in a solid, heavy-edged plate; a dashed edge for what
    nobody inspected. Told apart by shape alone, so a black-and-white copy keeps them.
    """
    color, white = tint(GRADE_COLOR[grade]), tint("#FFFFFF")
    width, height = PLATE_WIDTH * scale, PLATE_HEIGHT * scale
    canvas.saveState()
    canvas.setStrokeColor(color)
    solid = grade == "dangerous"
    canvas.setFillColor(color if solid else white)
    canvas.setLineWidth((1.9 if solid else 0.9) * scale)
    if grade == "uninspected":
        canvas.setDash(2.2 * scale, 1.6 * scale)
    canvas.roundRect(x, y, width, height, 2.2 * scale, stroke=1, fill=1)
    canvas.setDash()
    holes = GRADE_HOLES[grade]
    canvas.setFillColor(white if solid else color)
    for hole in range(holes):
        middle = x + width * (hole + 1) / (holes + 1)
        canvas.circle(middle, y + height / 2, 1.55 * scale, stroke=0, fill=1)
    canvas.restoreState()
