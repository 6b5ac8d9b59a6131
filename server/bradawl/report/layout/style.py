"""The report's colors, grid and paragraph styles, and the mark of a grade, all from `design/`."""

from __future__ import annotations

import functools
from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING, Any, NamedTuple

from bradawl.design import HEIGHT, WIDTH, Mark, Step, colors, path_steps, tokens
from bradawl.report.layout.text import typeface

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

__all__ = [
    "COLUMNS",
    "COLUMN_WIDTH",
    "DANGER",
    "EDGE",
    "FOOT",
    "GRADE_COLOR",
    "GREY",
    "GUTTER",
    "INK",
    "MM",
    "NARROW",
    "NARROW_BOLD",
    "PAGE_SIZES",
    "PLATE_HEIGHT",
    "PLATE_WIDTH",
    "RULE",
    "TEXT_WIDTH",
    "TOP",
    "WELL",
    "Style",
    "draw_plate",
    "styles",
    "tint",
    "traced",
]

_PRINT = colors("print")
INK, GREY, EDGE = _PRINT["ink"], _PRINT["quiet"], _PRINT["edge"]
RULE, WELL, DANGER = _PRINT["line"], _PRINT["well"], _PRINT["oxide"]
#: A grade's word; danger alone has a color.
GRADE_COLOR = {
    "none": GREY,
    "minor": INK,
    "major": INK,
    "dangerous": DANGER,
    "uninspected": GREY,
}


@functools.cache
def tint(color: str) -> Any:
    """A color of reportlab's from `#RRGGBB` or a name, read once: its reading is slow."""
    typeface.register()
    from reportlab.lib.colors import toColor

    return toColor(color)


MM = 72 / 25.4
PAGE_SIZES = {"a4": (210 * MM, 297 * MM), "letter": (612.0, 792.0)}
#: The grid, in points: three columns with gutters on either paper, centered across it.
COLUMNS, COLUMN_WIDTH, GUTTER = 3, 172.0, 12.0
TEXT_WIDTH = COLUMNS * COLUMN_WIDTH + (COLUMNS - 1) * GUTTER
TOP, FOOT = 32.0, 44.0  # from the paper's edges to the text


_PT = tokens().size_pt


class Style(NamedTuple):
    """How a paragraph is set; sizes and room before and after in points.

    `right` sets against the right edge; `keep` keeps it on one page with what follows; `heading` is
    the level of what it heads, 0 for none.
    """

    font: str = typeface.SANS
    size: float = 8
    leading: float = 10
    color: str = INK
    right: bool = False
    before: float = 0
    after: float = 0
    keep: bool = False
    heading: int = 0


NARROW, NARROW_BOLD = typeface.NARROW, typeface.NARROW_BOLD


@functools.cache
def styles() -> dict[str, Style]:
    """The paragraph styles by name."""
    row = Style(font=NARROW, size=_PT["table"], leading=9.4)
    cell = row
    strong_cell = cell._replace(font=NARROW_BOLD)
    bold = Style(font=typeface.BOLD)
    return {
        "body": Style(),
        "small": Style(font=NARROW, size=_PT["note"], leading=9, color=GREY),
        "row": row,
        "fact": cell,
        "strong": bold._replace(size=8.2, after=2),
        "title": bold._replace(size=_PT["title"], leading=21, after=3, heading=1),
        "subtitle": Style(size=9, leading=11.5, color=GREY, after=3),
        "h1": bold._replace(
            size=_PT["section"], leading=14, before=9, after=2, keep=True, heading=2
        ),
        "h2": bold._replace(size=9, leading=11, before=6, after=2, keep=True, heading=3),
        # what heads lines without being a heading of the document
        "standing": bold._replace(size=8.2, after=2, keep=True),
        "label": Style(font=NARROW, size=_PT["note"], leading=9, color=GREY, keep=True),
        "finding": bold._replace(size=8.6, leading=10.6, keep=True, heading=3),
        "answer": bold._replace(size=_PT["verdict"], leading=18.5, after=1),
        "lead": Style(size=9.6, leading=12.6, after=2),
        "quiet": Style(font=typeface.ITALIC, color=GREY),
        "note": Style(font=typeface.ITALIC),
        "digest": Style(size=6.6, leading=9),
        "cell": cell,
        "cell-strong": strong_cell,
        "cell-strong-right": strong_cell._replace(right=True),
        "cell-right": cell._replace(right=True),
    }


PLATE_HEIGHT = 9.6
PLATE_WIDTH = PLATE_HEIGHT * WIDTH / HEIGHT


def traced(
    canvas: Canvas, steps: Iterable[Step], at: Callable[[float, float], tuple[float, float]]
) -> Any:
    """A path of reportlab's from a drawing's steps; `at` says where a point of it lies."""
    path = canvas.beginPath()
    draw = {"M": path.moveTo, "L": path.lineTo, "C": path.curveTo, "Z": path.close}
    for command, numbers in steps:
        points = zip(numbers[::2], numbers[1::2], strict=True)
        draw[command](*(part for point in points for part in at(*point)))
    return path


def draw_plate(canvas: Canvas, x: float, y: float, mark: Mark) -> None:
    """A mark with its lower left corner at x, y (points)."""
    scale = PLATE_HEIGHT / HEIGHT
    path = traced(
        canvas,
        path_steps(mark.shape),
        lambda across, down: (across * scale, (HEIGHT - down) * scale),
    )
    canvas.saveState()
    canvas.translate(x, y)
    canvas.setFillColor(tint(_PRINT[mark.color]))
    canvas.drawPath(path, stroke=0, fill=1, fillMode=0)  # even-odd: holes show the paper
    canvas.restoreState()
