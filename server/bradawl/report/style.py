"""Colours, paragraph styles and the punched plate that marks a grade."""

from __future__ import annotations

import functools
from typing import Any

from bradawl.report import typeface

PAPER, INK, EDGE, ACCENT = "#FAF8F3", "#16202B", "#5F656E", "#0B4F8A"
GRADE_COLOUR = {
    "none": "#1F5A63",
    "minor": "#40479B",
    "major": "#7A2A7E",
    "dangerous": "#9A1446",
    "uninspected": "#4A525C",
}
GRADE_WORD = {
    "none": "no fault",
    "minor": "minor",
    "major": "major",
    "dangerous": "dangerous",
    "uninspected": "not inspected",
}
GRADE_HOLES = {"none": 0, "minor": 1, "major": 2, "dangerous": 3, "uninspected": 0}
#: Worst first.
GRAVITY = ("dangerous", "major", "minor", "none", "uninspected")


@functools.cache
def tint(colour: str) -> Any:
    """A colour of reportlab's from `#RRGGBB` or a name, read once: its reading is slow."""
    typeface.register()
    from reportlab.lib.colors import toColor

    return toColor(colour)


MM = 72 / 25.4
PAGE_SIZES = {"A4": (210 * MM, 297 * MM), "Letter": (612.0, 792.0)}
MARGIN = 17 * MM


@functools.cache
def styles() -> dict[str, Any]:
    """The paragraph styles by name."""
    typeface.register()
    from reportlab.lib.enums import TA_RIGHT
    from reportlab.lib.styles import ParagraphStyle

    base = ParagraphStyle(
        "body",
        fontName=typeface.SANS,
        bulletFontName=typeface.SANS,
        fontSize=9,
        leading=12.2,
        textColor=tint(INK),
        splitLongWords=1,
        allowWidows=0,
        allowOrphans=0,
    )

    def style(name: str, **more: Any) -> Any:
        return ParagraphStyle(name, parent=base, **more)

    made = [
        base,
        style("small", fontSize=7.6, leading=10, textColor=tint("#333B45")),
        style("row", fontSize=8.2, leading=10.4),
        style("right", alignment=TA_RIGHT),
        style("label", fontSize=7.6, leading=10, fontName=typeface.BOLD, textColor=tint("#333B45")),
        style("strong", fontName=typeface.BOLD),
        style("title", fontName=typeface.BOLD, fontSize=19, leading=23, spaceAfter=1),
        style("subtitle", fontSize=10.5, leading=14, textColor=tint("#333B45"), spaceAfter=5),
        style(
            "h1", fontName=typeface.BOLD, fontSize=14, leading=18, spaceBefore=15, spaceAfter=5,
            keepWithNext=1, textColor=tint(ACCENT),
        ),
        style(
            "h2", fontName=typeface.BOLD, fontSize=10.5, leading=14, spaceBefore=9, spaceAfter=3,
            keepWithNext=1,
        ),
        # above what may break across pages, where keeping with the next would push all of it on
        style("h2-loose", fontName=typeface.BOLD, fontSize=10.5, leading=14, spaceBefore=9,
              spaceAfter=3),
        style("finding", fontName=typeface.BOLD, fontSize=10, leading=13, keepWithNext=1),
        style("answer", fontName=typeface.BOLD, fontSize=12.5, leading=16),
        style("quiet", fontName=typeface.OBLIQUE, textColor=tint("#333B45")),
        style("digest", fontSize=7.6, leading=10.4),
        style("cell", fontSize=8, leading=10.4),
        style("cell-strong", fontSize=8, leading=10.4, fontName=typeface.BOLD),
        style(
            "cell-strong-right", fontSize=8, leading=10.4, fontName=typeface.BOLD,
            alignment=TA_RIGHT,
        ),
        style("cell-right", fontSize=8, leading=10.4, alignment=TA_RIGHT),
    ]  # fmt: skip
    return {one.name: one for one in made}


PLATE_WIDTH, PLATE_HEIGHT = 19.0, 9.5


def draw_plate(canvas: Any, x: float, y: float, grade: str, scale: float = 1.0) -> None:
    """A grade's plate with its lower left corner at x, y (points).

    Empty, one hole, two holes; three holes in a solid, heavy-edged plate; a dashed edge for what
    nobody inspected. Told apart by shape alone, so a black-and-white copy keeps them.
    """
    colour, white = tint(GRADE_COLOUR[grade]), tint("#FFFFFF")
    width, height = PLATE_WIDTH * scale, PLATE_HEIGHT * scale
    canvas.saveState()
    canvas.setStrokeColor(colour)
    solid = grade == "dangerous"
    canvas.setFillColor(colour if solid else white)
    canvas.setLineWidth((1.9 if solid else 0.9) * scale)
    if grade == "uninspected":
        canvas.setDash(2.2 * scale, 1.6 * scale)
    canvas.roundRect(x, y, width, height, 2.2 * scale, stroke=1, fill=1)
    canvas.setDash()
    holes = GRADE_HOLES[grade]
    canvas.setFillColor(white if solid else colour)
    for hole in range(holes):
        middle = x + width * (hole + 1) / (holes + 1)
        canvas.circle(middle, y + height / 2, 1.55 * scale, stroke=0, fill=1)
    canvas.restoreState()
