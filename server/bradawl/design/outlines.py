"""The car from its left, from above and from its right, by body style: panels, places and trim.

A file of `outlines/` holds one side, nose to the left, and the plan, in centimeters with y
downward; the right side is the left one mirrored. No make is drawn, only what is usual of a style.
"""

from __future__ import annotations

import functools
import json
import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any, Literal, NamedTuple, get_args

from bradawl.design import Step

__all__ = [
    "STYLES",
    "UNKNOWN",
    "BodyStyle",
    "Box",
    "Outline",
    "Panel",
    "View",
    "ViewName",
    "outline",
    "outline_steps",
    "panels_of",
    "places_of",
    "style_of",
]

BodyStyle = Literal["sedan", "coupe", "hatchback", "wagon", "convertible", "pickup", "van", "suv"]
ViewName = Literal["left", "plan", "right"]
STYLES: tuple[BodyStyle, ...] = get_args(BodyStyle)
#: What is drawn, and asked for, until somebody says what the car is.
UNKNOWN: BodyStyle = "sedan"

_FOLDER = Path(__file__).parent / "outlines"
_COMMAND = re.compile(r"([Mlhvcz])([-\d ]*)")
_NUMBER = re.compile(r"-?\d+")
_STEPS = {"M": 2, "l": 2, "h": 1, "v": 1, "c": 6, "z": 0}


class Box(NamedTuple):
    """A rectangle in centimeters, y downward."""

    x: float
    y: float
    wide: float
    high: float


class Panel(NamedTuple):
    """A panel in one view. `label` is the middle of its figure, `marks` the room for its marks.

    Both are None where another view of the same panel has them.
    """

    id: str
    path: str
    label: tuple[float, float] | None
    marks: Box | None


class View(NamedTuple):
    """One view; where `is_mirrored`, paths (not boxes) are to be flipped about `length` / 2.

    `wheels` are (x, y, radius) by place, `places` the room of each other place that is no panel,
    `ground` the height of the ground line, 0 in the plan.
    """

    name: ViewName
    length: float
    wide: float
    high: float
    ground: float
    is_mirrored: bool
    shell: str
    glass: str
    trim: str
    crease: str
    panels: tuple[Panel, ...]
    wheels: Mapping[str, tuple[float, float, float]]
    places: Mapping[str, Box]


class Outline(NamedTuple):
    """A car of one body style: left side, plan, right side."""

    style: BodyStyle
    left: View
    plan: View
    right: View

    @property
    def views(self) -> tuple[View, View, View]:
        return self.left, self.plan, self.right


def style_of(recorded: object) -> BodyStyle:
    """The style that a record names; that of an unknown car where it names none."""
    return recorded if recorded in STYLES else UNKNOWN


@functools.cache
def outline(style: BodyStyle) -> Outline:
    """The drawing of a body style. Raises KeyError for a style that there is not."""
    if style not in STYLES:
        raise KeyError(style)
    data = json.loads((_FOLDER / f"{style}.json").read_text(encoding="utf-8"))
    return Outline(style, _side(data, "left"), _plan(data), _side(data, "right"))


@functools.cache
def panels_of(style: BodyStyle) -> tuple[str, ...]:
    """Every panel of a style, in the order of a walk around the car from its nose."""
    drawn = outline(style)
    left = [panel.id for panel in drawn.left.panels]
    plan = [panel.id for panel in drawn.plan.panels]
    right = [panel.id for panel in drawn.right.panels]
    return tuple(dict.fromkeys([*plan[:1], *left, *plan[1:], *reversed(right)]))


@functools.cache
def places_of(style: BodyStyle) -> tuple[str, ...]:
    """Every place of a style that is no panel."""
    found = [place for view in outline(style).views for place in (*view.places, *view.wheels)]
    return tuple(dict.fromkeys(found))


@functools.cache
def outline_steps(path: str) -> tuple[Step, ...]:
    """The steps of a path of these files, absolute: `M`, `L`, `C`, `Z`.

    A path of the files is one `M` with absolute numbers, then relative `l`, `h`, `v`, `c`, `z`;
    each command takes one point (three for `c`). Raises ValueError for any other.
    """
    commands = [
        (command, [float(number) for number in _NUMBER.findall(numbers)])
        for command, numbers in _COMMAND.findall(path)
    ]
    is_whole = _COMMAND.sub("", path) == ""
    if not is_whole or any(len(given) != _STEPS[command] for command, given in commands):
        raise ValueError(f"{path!r} is no path of M, l, h, v, c and z with what each takes.")
    steps: list[Step] = []
    x = y = 0.0
    start = (0.0, 0.0)
    for command, given in commands:
        if command == "z":
            steps.append(Step("Z", ()))
            x, y = start
            continue
        if command in "hv":
            given = [given[0], 0] if command == "h" else [0, given[0]]
        base = (0.0, 0.0) if command == "M" else (x, y)
        points = [number + base[n % 2] for n, number in enumerate(given)]
        x, y = points[-2:]
        if command == "M":
            start = (x, y)
        steps.append(Step({"M": "M", "c": "C"}.get(command, "L"), tuple(points)))
    return tuple(steps)


def _panels(data: dict[str, Any], name: ViewName) -> tuple[Panel, ...]:
    side = data["plan" if name == "plan" else "side"]
    flips = data["length"] if name == "right" else None
    panels = []
    for panel, drawn in side["panels"].items():
        is_sided = name != "plan" and panel not in data["plan"]["panels"]
        label = drawn.get("label")
        if label is not None:
            label = (label[0] if flips is None else flips - label[0], label[1])
        marks = _box(drawn["marks"], flips) if "marks" in drawn else None
        panels.append(Panel(f"{panel}-{name}" if is_sided else panel, drawn["path"], label, marks))
    return tuple(panels)


def _box(box: list[float], flips: float | None) -> Box:
    x, y, wide, high = box
    return Box(x if flips is None else flips - x - wide, y, wide, high)


def _side(data: dict[str, Any], name: Literal["left", "right"]) -> View:
    side, length = data["side"], data["length"]
    flips = length if name == "right" else None
    wheels = {
        f"{end}-{name}": (x if flips is None else flips - x, y, radius)
        for end, (x, y, radius) in zip(("front", "rear"), side["wheels"], strict=True)
    }
    return View(
        name,
        length,
        data["wide"],
        side["high"],
        side["ground"],
        name == "right",
        side["shell"],
        side["glass"],
        side["trim"] + (side.get("trim_right", "") if name == "right" else ""),
        side["crease"],
        _panels(data, name),
        wheels,
        {place: _box(box, flips) for place, box in side["places"].items()},
    )


def _plan(data: dict[str, Any]) -> View:
    plan = data["plan"]
    return View(
        "plan",
        data["length"],
        data["wide"],
        plan["high"],
        0,
        False,
        plan["shell"],
        plan["glass"],
        plan["trim"],
        plan["crease"],
        _panels(data, "plan"),
        {},
        {place: _box(box, None) for place, box in plan["places"].items()},
    )
