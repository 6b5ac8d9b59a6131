"""Finds room for figures and marks on one view of the drawn car: nothing covers a figure.

A panel's figure stands at its label, its marks in the panel's own room. Where more marks pile up
than the room takes, all of that place stand in a row above or below the view, each pile at the end
of a line from its place. All lengths are centimeters of the outlines, y downward.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from itertools import pairwise
from typing import NamedTuple

from bradawl.design.outlines import Box, View

__all__ = ["Line", "Marked", "PlacedFigure", "PlacedMark", "Size", "lay_out"]

#: Between a view and the marks above or below it: the lines run here.
LANE = 12.0
#: Between two piles.
GAP = 5.0
#: A pile is no wider than this, in marks, while there is room for another row.
PILE = 6


class Size(NamedTuple):
    """Width and height."""

    wide: float
    high: float


class PlacedFigure(NamedTuple):
    """A panel's figure and where it stands."""

    panel: str
    text: str
    box: Box


class PlacedMark(NamedTuple):
    """A mark, by its place and its number among the marks of that place."""

    place: str
    number: int
    box: Box


class Line(NamedTuple):
    """A line from a place to the pile of its marks, corner by corner."""

    place: str
    points: tuple[tuple[float, float], ...]


class Marked(NamedTuple):
    """Where everything stands; `above` and `below` are the room that piles take beyond the view."""

    figures: tuple[PlacedFigure, ...]
    marks: tuple[PlacedMark, ...]
    lines: tuple[Line, ...]
    above: float
    below: float


class _Pile(NamedTuple):
    place: str
    many: int
    x: float
    y: float


def lay_out(
    view: View,
    figures: Mapping[str, str],
    marks: Mapping[str, int],
    mark: Size,
    size_of: Callable[[str], Size],
) -> Marked:
    """Place the figures of panels and as many marks as each panel or place has.

    Panels and places that the view does not show are left out; `size_of` measures a figure.
    """
    placed = [
        PlacedFigure(panel.id, figures[panel.id], _about(panel.label, size_of(figures[panel.id])))
        for panel in view.panels
        if panel.label is not None and figures.get(panel.id)
    ]
    standing: list[PlacedMark] = []
    waiting: list[tuple[str, Box, int]] = []
    for place, room in _rooms(view, mark).items():
        count = marks.get(place, 0)
        inside = _in_room(place, room, count, mark)
        taken = [figure.box for figure in placed] + [one.box for one in standing]
        if len(inside) == count and not _any_overlap([one.box for one in inside], taken):
            standing += inside
        elif count:
            waiting.append((place, room, count))
    boxes = [figure.box for figure in placed] + [one.box for one in standing]
    up: list[_Pile] = []
    down: list[_Pile] = []
    for place, room, count in waiting:
        x, is_up = _way_out(room, view, boxes)
        (up if is_up else down).append(_Pile(place, count, x, room.y + room.high / 2))
    above, lines_up, high_up = _row(up, view.wide, mark)
    below, lines_down, high_down = _row(down, view.wide, mark)
    raised = [one._replace(box=_turned(one.box)) for one in above]
    sunk = [one._replace(box=one.box._replace(y=one.box.y + view.high)) for one in below]
    lines = [
        Line(pile.place, ((pile.x, pile.y), (pile.x, -2), (end, -LANE)))
        for pile, end in zip(_sorted(up), lines_up, strict=True)
    ] + [
        Line(pile.place, ((pile.x, pile.y), (pile.x, view.high + 2), (end, view.high + LANE)))
        for pile, end in zip(_sorted(down), lines_down, strict=True)
    ]
    return Marked(tuple(placed), (*standing, *raised, *sunk), tuple(lines), high_up, high_down)


def _about(middle: tuple[float, float], size: Size) -> Box:
    return Box(middle[0] - size.wide / 2, middle[1] - size.high / 2, size.wide, size.high)


def _rooms(view: View, mark: Size) -> dict[str, Box]:
    """The room for marks of every panel and place of a view; a wheel's is its tire."""
    rooms = {panel.id: panel.marks for panel in view.panels if panel.marks is not None}
    rooms.update(view.places)
    for place, (x, y, radius) in view.wheels.items():
        side = max(radius * 1.4, mark.wide, mark.high)
        rooms[place] = Box(x - side / 2, y - side / 2, side, side)
    return rooms


def _in_room(place: str, room: Box, count: int, mark: Size) -> list[PlacedMark]:
    """The marks in rows within their room; none where it is too small for all."""
    columns = int(room.wide // mark.wide)
    rows = int(room.high // mark.high)
    if columns * rows < count or not count:
        return []
    # in the middle of the room, as few rows as will do
    across = min(count, columns)
    down = -(-count // across)
    left = room.x + (room.wide - across * mark.wide) / 2
    top = room.y + (room.high - down * mark.high) / 2
    return [
        PlacedMark(
            place,
            n,
            Box(
                left + n % across * mark.wide,
                top + n // across * mark.high,
                mark.wide,
                mark.high,
            ),
        )
        for n in range(count)
    ]


def _overlap(one: Box, other: Box) -> bool:
    return (
        one.x < other.x + other.wide
        and other.x < one.x + one.wide
        and one.y < other.y + other.high
        and other.y < one.y + one.high
    )


def _any_overlap(ours: Sequence[Box], theirs: Sequence[Box]) -> bool:
    return any(_overlap(our, other) for our in ours for other in theirs)


def _way_out(room: Box, view: View, boxes: Sequence[Box]) -> tuple[float, bool]:
    """(x, whether upward) of a straight way out of the view that meets no figure and no mark."""
    middle = room.y + room.high / 2
    is_up_first = middle < view.high / 2
    for is_up in (is_up_first, not is_up_first):
        top, bottom = (0.0, middle) if is_up else (middle, view.high)
        for step in (5, 4, 6, 3, 7, 2, 8, 1, 9):
            x = room.x + room.wide * step / 10
            way = Box(x - 0.5, top, 1, bottom - top)
            if not _any_overlap([way], boxes):
                return x, is_up
    return room.x + room.wide / 2, is_up_first


def _sorted(piles: Sequence[_Pile]) -> list[_Pile]:
    return sorted(piles, key=lambda pile: (pile.x, pile.place))


def _row(
    piles: Sequence[_Pile], wide: float, mark: Size
) -> tuple[list[PlacedMark], list[float], float]:
    """(marks, where each pile's line ends, height) of piles side by side, from the lane on."""
    if not piles:
        return [], [], 0.0
    ordered = _sorted(piles)
    columns = [min(pile.many, PILE) for pile in ordered]
    while _width(columns, mark) > wide and max(columns) > 1:
        columns[columns.index(max(columns))] -= 1
    widths = [count * mark.wide for count in columns]
    starts = [pile.x - w / 2 for pile, w in zip(ordered, widths, strict=True)]
    starts[0] = max(0.0, starts[0])
    for n in range(1, len(starts)):
        starts[n] = max(starts[n], starts[n - 1] + widths[n - 1] + GAP)
    starts[-1] = min(starts[-1], wide - widths[-1])
    for n in range(len(starts) - 2, -1, -1):
        starts[n] = min(starts[n], starts[n + 1] - GAP - widths[n])
    marks = [
        PlacedMark(
            pile.place,
            n,
            Box(
                start + n % count * mark.wide,
                LANE + n // count * mark.high,
                mark.wide,
                mark.high,
            ),
        )
        for pile, start, count in zip(ordered, starts, columns, strict=True)
        for n in range(pile.many)
    ]
    ends = [start + w / 2 for start, w in zip(starts, widths, strict=True)]
    return marks, ends, max(one.box.y + one.box.high for one in marks) + 2


def _width(columns: Sequence[int], mark: Size) -> float:
    return sum(columns) * mark.wide + GAP * (len(columns) - 1)


def _turned(box: Box) -> Box:
    """A box of a row below its lane as one above it: the first row stays next to the car."""
    return box._replace(y=-box.y - box.high)


def crossings(lines: Sequence[Line], boxes: Sequence[Box]) -> list[str]:
    """The places whose line runs through one of the boxes, seen by its upright pieces."""
    found = []
    for line in lines:
        for (x0, y0), (x1, y1) in pairwise(line.points):
            if x0 == x1 and _any_overlap([Box(x0 - 0.1, min(y0, y1), 0.2, abs(y1 - y0))], boxes):
                found.append(line.place)
    return found
