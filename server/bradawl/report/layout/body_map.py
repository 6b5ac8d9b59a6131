"""Draws the car from above with its sides folded out, with paint film and rust on it.

Import only after `typeface.register()`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from reportlab.platypus import Flowable

from bradawl.language import text
from bradawl.report.layout import typeface
from bradawl.report.layout.style import GRADE_COLOR, INK, MM
from bradawl.report.model.figures import Paint
from bradawl.report.pdf.structure import Element

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

__all__ = ["BodyMap", "Mark", "spots"]

# The sheet is 200 wide and 132 high, nose to the left: the left side lies above the plan, the
# right side below it, each folded outwards. A panel is the outline of its corners.
WIDE, HIGH = 200.0, 132.0


# Side panels in (x, height above the ground line measured towards the plan's edge).
_SIDE: dict[str, list[tuple[float, float]]] = {
    "front-wing": [(12, 14), (12, 26), (20, 30), (62, 31), (62, 10), (50, 10), (46, 19), (32, 19),
                   (28, 10)],
    "front-door": [(63, 10), (63, 31), (78, 40), (100, 40), (100, 10)],
    "rear-door": [(101, 10), (101, 40), (124, 40), (136, 31), (136, 20), (130, 10)],
    "rear-wing": [(137, 20), (137, 31), (150, 33), (186, 30), (188, 14), (176, 12), (170, 19),
                  (155, 19), (146, 19), (141, 14)],
    "sill": [(52, 4), (52, 9), (140, 9), (140, 4)],
}  # fmt: skip
_PLAN: dict[str, list[tuple[float, float]]] = {
    "bonnet": [(16, 50), (12, 57), (11, 66), (12, 75), (16, 82), (60, 82), (64, 75), (65, 66),
               (64, 57), (60, 50)],
    "roof": [(82, 52), (79, 58), (78, 66), (79, 74), (82, 80), (122, 80), (126, 74), (127, 66),
             (126, 58), (122, 52)],
    "boot-lid": [(154, 50), (150, 57), (149, 66), (150, 75), (154, 82), (182, 82), (187, 75),
                 (188, 66), (187, 57), (182, 50)],
}  # fmt: skip
_SHELL = [
    (10, 52), (6, 60), (6, 72), (10, 80), (18, 85), (60, 86), (140, 86), (182, 85), (191, 79),
    (194, 72), (194, 60), (191, 53), (182, 47), (140, 46), (60, 46), (18, 47),
]  # fmt: skip
_GLASS: list[list[tuple[float, float]]] = [
    [(67, 57), (63, 50), (80, 52), (76.5, 58), (75.5, 66), (76.5, 74), (80, 80), (63, 82),
     (67, 75), (68, 66)],
    [(147, 57), (151, 50), (124, 52), (128.5, 58), (129.5, 66), (128.5, 74), (124, 80), (151, 82),
     (147, 75), (146, 66)],
]  # fmt: skip
_WHEELS = ((39.0, 8.0), (161.0, 8.0))
_MARK_WIDE, _MARK_HIGH = 9.0, 6.6  # of a numbered mark, with the room around it


def outlines() -> dict[str, list[tuple[float, float]]]:
    """Every panel's corners on the sheet, origin at the lower left."""
    panels = {name: list(points) for name, points in _PLAN.items()}
    for name, points in _SIDE.items():
        panels[f"{name}-right"] = list(points)
        panels[f"{name}-left"] = [(x, HIGH - y) for x, y in points]
    return panels


def middle(points: Sequence[tuple[float, float]]) -> tuple[float, float]:
    """The middle of an outline's bounding box."""
    across, up = [x for x, _ in points], [y for _, y in points]
    return (min(across) + max(across)) / 2, (min(up) + max(up)) / 2


_SPOTS: dict[str, tuple[float, float]] = {
    **{name: middle(points) for name, points in outlines().items()},
    "front-left": (39, HIGH - 22), "front-right": (39, 22),
    "rear-left": (161, HIGH - 22), "rear-right": (161, 22),
    "front": (4, 66), "rear": (195, 66), "left": (96, HIGH - 2), "right": (96, 2),
    "boot": (169, 66), "floor": (101, 66), "screen": (70, 66), "engine-bay": (40, 66),
}  # fmt: skip
# Words of an item's id or place that say where on the sheet it is, most telling first.
_WORDS: tuple[tuple[tuple[str, ...], tuple[str, ...]], ...] = (
    (("sill", "jacking"), ("sill-left", "sill-right")),
    (("arch", "arches"), ("front-left", "front-right", "rear-left", "rear-right")),
    (("door",), ("front-door-left", "front-door-right", "rear-door-left", "rear-door-right")),
    (("boot",), ("boot",)),
    (("screen",), ("screen",)),
    (("wings", "wing", "bonnet"), ("bonnet",)),
    (("floor", "belt", "seat"), ("floor",)),
    (("subframe", "engine", "bay", "strut", "battery"), ("engine-bay",)),
    (("axle", "rear"), ("rear",)),
    (("front", "cross"), ("front",)),
)


def spots(item_id: str, places: Sequence[str]) -> list[tuple[float, float]]:
    """Where a finding lies on the sheet: its recorded places, else where its item belongs."""
    recorded = [_SPOTS[place] for place in dict.fromkeys(places) if place in _SPOTS]
    if recorded:
        return recorded
    words = set(item_id.partition(".")[2].replace("_", "-").split("-"))
    side = next((side for side in ("left", "right") if side in words), "")
    for telling, spot_names in _WORDS:
        if words & {*telling, *(f"{word}s" for word in telling)}:
            sided = [name for name in spot_names if name.endswith(side)] or spot_names
            return [_SPOTS[name] for name in sided]
    return []


def free_place(taken: Sequence[tuple[float, float]], x: float, y: float) -> tuple[float, float]:
    """The place nearest to x, y on the sheet where a mark covers none of those that are there.

    Rightwards and leftwards first, then a row towards the sheet's middle; the place itself when
    the sheet is full of marks.
    """
    inwards = -_MARK_HIGH if y > HIGH / 2 else _MARK_HIGH
    for row in range(6):
        for beside in range(6):
            for side in (1, -1):
                place = (x + side * beside * _MARK_WIDE, y + row * inwards)
                if 5 <= place[0] <= WIDE - 5 and all(
                    abs(place[0] - left) >= _MARK_WIDE - 0.1
                    or abs(place[1] - up) >= _MARK_HIGH - 0.1
                    for left, up in taken
                ):
                    return place
    return x, y


@dataclass(frozen=True)
class Mark:
    """A numbered finding on the map."""

    number: int
    grade: str
    at: tuple[tuple[float, float], ...]


class BodyMap(Flowable):  # type: ignore[misc]
    """The sheet with numbered marks, and panels hatched and figured by their paint."""

    def __init__(
        self,
        marks: Sequence[Mark],
        paint: Paint | None,
        tapped: Mapping[str, Sequence[str]],
        *,
        width: float,
    ) -> None:
        super().__init__()
        self._marks, self._paint, self._tapped = marks, paint, tapped
        self._scale = min(width, 138 * MM) / WIDE
        self._column = width

    def wrap(self, *_: float) -> tuple[float, float]:
        self.width = self._column
        self._legends = bool(self._paint) + bool(self._tapped)
        self.height = HIGH * self._scale + (4, 21, 32)[self._legends]
        return self.width, self.height

    def draw(self) -> None:
        said = text("report-map-figure", count=len(self._marks))
        element = Element("Figure", alternative=said)
        with self.canv.figure(element, self.width, self.height):
            self._draw_all()

    def _draw_all(self) -> None:
        canvas = self.canv
        canvas.saveState()
        canvas.translate((self._column - WIDE * self._scale) / 2, (2, 17, 28)[self._legends])
        canvas.scale(self._scale, self._scale)
        canvas.setLineJoin(1)
        self._body(canvas)
        taken: list[tuple[float, float]] = []
        for mark in self._marks:
            for x, y in mark.at:
                # above the panel's figure
                place = free_place(taken, x, y + (5.6 if self._paint else 0))
                taken.append(place)
                _draw_mark(canvas, mark, place)
        canvas.restoreState()
        if self._paint:
            self._legend(canvas, 5 if self._legends == 1 else 16)
        if self._tapped:
            _tap_legend(canvas, 5)

    def _body(self, canvas: Canvas) -> None:
        canvas.setStrokeColor(INK)
        canvas.setLineWidth(0.35)
        panels: Mapping[str, Any] = self._paint.panels if self._paint else {}
        canvas.setFillColor("#FFFFFF")
        canvas.drawPath(_closed(canvas, _SHELL), stroke=1, fill=1)
        for name, points in outlines().items():
            panel = panels.get(name)
            path = _closed(canvas, points)
            canvas.setFillColor("#FFFFFF")
            canvas.drawPath(path, stroke=0, fill=1)
            if panel is not None:
                _hatch(canvas, points, panel.finish)
            canvas.setFillColor(INK)
            canvas.drawPath(_closed(canvas, points), stroke=1, fill=0)
        for points in _GLASS:
            canvas.setFillColor("#ECEEF0")
            canvas.drawPath(_closed(canvas, points), stroke=1, fill=1)
        for x, y in _WHEELS:
            for up in (y, HIGH - y):
                canvas.setFillColor("#FFFFFF")
                canvas.circle(x, up, 7.6, stroke=1, fill=1)
                canvas.circle(x, up, 3.6, stroke=1, fill=0)
        canvas.setFillColor(INK)
        canvas.setFont(typeface.SANS, 3.4)
        canvas.drawCentredString(100, 42.6, text("report-map-right"))
        canvas.drawCentredString(100, 88, text("report-map-left"))
        canvas.setFont(typeface.SANS, 3.2)
        canvas.drawRightString(4, 65, text("report-map-front"))
        canvas.drawString(196, 65, text("report-map-rear"))
        for name, taps in self._tapped.items():
            x, y = middle(outlines()[name])
            for beside, tap in enumerate(taps):
                _draw_tap(canvas, tap, x + 5 * (beside - (len(taps) - 1) / 2), y - 6.6)
        for name, panel in panels.items():
            outline = outlines().get(name)
            if outline is None or not panel.text:
                continue
            x, y = middle(outline)
            _label(canvas, x, y - 2.4, panel.text)

    def _legend(self, canvas: Canvas, up: float) -> None:
        canvas.saveState()
        canvas.translate(0, up)
        canvas.setFont(typeface.SANS, 6.6)
        canvas.setStrokeColor(INK)
        canvas.setLineWidth(0.4)
        x = 0.0
        for finish in _FINISHES:
            word = text("report-map-finish-" + finish)
            corners = [(x, 0.0), (x, 7.0), (x + 12, 7.0), (x + 12, 0.0)]
            _hatch(canvas, corners, finish, step=2.6)
            canvas.setFillColor(INK)
            canvas.rect(x, 0, 12, 7, stroke=1, fill=0)
            canvas.drawString(x + 15, 1, word)
            x += 15 + canvas.stringWidth(word, typeface.SANS, 6.6) + 12
        canvas.restoreState()


_FINISHES = ("original", "repainted", "filler", "thin", "no-reading")
_TAPS = ("rust", "dent", "repair")


def _draw_tap(canvas: Canvas, tap: str, x: float, y: float, size: float = 1.6) -> None:
    """A filled dot for rust, a ring for a dent, a cross for an old repair."""
    canvas.setStrokeColor(INK)
    canvas.setFillColor(INK if tap == "rust" else "#FFFFFF")
    canvas.setLineWidth(size * 0.35)
    if tap == "repair":
        canvas.line(x - size, y - size, x + size, y + size)
        canvas.line(x - size, y + size, x + size, y - size)
    else:
        canvas.circle(x, y, size, stroke=1, fill=1)


def _tap_legend(canvas: Canvas, up: float) -> None:
    canvas.saveState()
    canvas.setFont(typeface.SANS, 6.6)
    x = 3.0
    for tap in _TAPS:
        word = text("report-map-tap-" + tap)
        _draw_tap(canvas, tap, x, up + 3.2, 2.6)
        canvas.setFillColor(INK)
        canvas.drawString(x + 6, up + 1, word)
        x += 6 + canvas.stringWidth(word, typeface.SANS, 6.6) + 16
    canvas.restoreState()


def _closed(canvas: Canvas, points: Sequence[tuple[float, float]]) -> Any:
    path = canvas.beginPath()
    path.moveTo(*points[0])
    for point in points[1:]:
        path.lineTo(*point)
    path.close()
    return path


def _hatch(
    canvas: Canvas, points: Sequence[tuple[float, float]], finish: str, step: float = 3.0
) -> None:
    """Fill an outline by its finish; every finish has its own pattern, so that grey will do."""
    if finish in ("original", ""):
        return
    canvas.saveState()
    canvas.clipPath(_closed(canvas, points), stroke=0, fill=0)
    left, right = min(x for x, _ in points), max(x for x, _ in points)
    low, high = min(y for _, y in points), max(y for _, y in points)
    tall = high - low
    canvas.setLineWidth(0.45)
    canvas.setStrokeColor("#5A2D66")
    slopes = {"repainted": (1,), "filler": (1, -1), "thin": (0,), "no-reading": (1, -1, 0)}
    for slope in slopes.get(finish, (1,)):
        if slope == 0:
            at = low
            while at < high:
                canvas.line(left, at, right, at)
                at += step
            continue
        at = left - tall
        while at < right + tall:
            if slope > 0:
                canvas.line(at, low, at + tall, high)
            else:
                canvas.line(at, high, at + tall, low)
            at += step
    canvas.restoreState()


def _label(canvas: Canvas, x: float, y: float, said: str) -> None:
    size = 3.6
    width = canvas.stringWidth(said, typeface.SANS, size)
    canvas.setFillColor("#FFFFFF")
    canvas.rect(x - width / 2 - 0.7, y - 1.8, width + 1.4, 4.4, stroke=0, fill=1)
    canvas.setFillColor(INK)
    canvas.setFont(typeface.SANS, size)
    canvas.drawCentredString(x, y - 0.8, said)


def _draw_mark(canvas: Canvas, mark: Mark, at: tuple[float, float]) -> None:
    """A numbered plate: outlined when minor, heavy when major, solid when dangerous."""
    x, y = at
    color = GRADE_COLOR[mark.grade]
    solid = mark.grade == "dangerous"
    canvas.setStrokeColor(color)
    canvas.setFillColor(color if solid else "#FFFFFF")
    canvas.setLineWidth({"dangerous": 1.2, "major": 1.2}.get(mark.grade, 0.5))
    width = 6.4 if mark.number < 10 else 8.4
    canvas.roundRect(x - width / 2, y - 3, width, 6, 1.4, stroke=1, fill=1)
    canvas.setFillColor("#FFFFFF" if solid else color)
    canvas.setFont(typeface.BOLD, 4.4)
    canvas.drawCentredString(x, y - 1.6, str(mark.number))
