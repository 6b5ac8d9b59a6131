"""The outlines: paths that another reader takes alike, figures and marks with room on their panel.

Which doors and lids a body style has: ISO 3833 (sedan, coupe, station wagon, convertible, pickup,
van) for what bears its name, common practice for hatchback and SUV.
"""

from __future__ import annotations

import itertools

import pytest
from fontTools.pens.recordingPen import RecordingPen
from fontTools.svgLib.path import parse_path

from bradawl.design import outlines
from bradawl.design.outlines import Box, Outline, View

# A figure of four signs and a mark, in centimeters of the drawing at the least sizes they have:
# on a phone 390 px wide, and 172 pt wide on paper.
FIGURE = (42, 19)
MARK = (20, 18)
DRAWN = [outlines.outline(style) for style in outlines.STYLES]
VIEWS = [(drawn, view) for drawn in DRAWN for view in drawn.views]


def _id(value: Outline | View) -> str:
    return value.style if isinstance(value, Outline) else value.name


def _paths(view: View) -> list[str]:
    panels = [panel.path for panel in view.panels]
    return [path for path in (view.shell, view.glass, view.trim, view.crease, *panels) if path]


def _corners(path: str) -> list[tuple[float, float]]:
    """A path as a polygon, each curve by twelve points (Bernstein's form)."""
    points: list[tuple[float, float]] = []
    for command, numbers in outlines.outline_steps(path):
        given = list(zip(numbers[::2], numbers[1::2], strict=True))
        if command == "C":
            four = [points[-1], *given]
            for step in range(1, 13):
                t = step / 12
                weights = ((1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3)
                points.append(
                    (
                        sum(w * x for w, (x, _) in zip(weights, four, strict=True)),
                        sum(w * y for w, (_, y) in zip(weights, four, strict=True)),
                    )
                )
        else:
            points += given
    return points


def _is_inside(point: tuple[float, float], corners: list[tuple[float, float]]) -> bool:
    x, y = point
    inside = False
    for (x0, y0), (x1, y1) in itertools.pairwise([*corners, corners[0]]):
        if (y0 > y) != (y1 > y) and x < x0 + (y - y0) * (x1 - x0) / (y1 - y0):
            inside = not inside
    return inside


def _figure(label: tuple[float, float]) -> Box:
    wide, high = FIGURE
    return Box(label[0] - wide / 2, label[1] - high / 2, wide, high)


def _overlap(one: Box, other: Box) -> bool:
    return (
        one.x < other.x + other.wide
        and other.x < one.x + one.wide
        and one.y < other.y + other.high
        and other.y < one.y + one.high
    )


@pytest.mark.parametrize("drawn", DRAWN, ids=_id)
def test_every_path_is_what_a_reader_of_svg_takes_it_for(drawn: Outline) -> None:
    """fontTools reads the path syntax of SVG 2, chapter 9."""
    for path in itertools.chain.from_iterable(_paths(view) for view in drawn.views):
        pen = RecordingPen()
        parse_path(path, pen)
        theirs = [n for _, points in pen.value for point in points for n in point]
        closed = sum(name == "closePath" for name, _ in pen.value)
        steps = outlines.outline_steps(path)
        ours = [number for step in steps for number in step.numbers]
        # the pen also draws the line that closes an outline
        assert len(theirs) - 2 * closed <= len(ours) <= len(theirs), path
        assert closed == sum(step.command == "Z" for step in steps)
        assert set(ours) <= set(theirs)


@pytest.mark.parametrize("path", ["M1 2 3", "M1 2L3 4", "M1 2q1 1 2 2", "M1 2h1 1", "M1.5 2h3"])
def test_a_path_that_is_none_is_refused(path: str) -> None:
    with pytest.raises(ValueError, match="is no path"):
        outlines.outline_steps(path)


def test_doors_lids_and_beds_are_those_of_the_style() -> None:
    has = {drawn.style: set(outlines.panels_of(drawn.style)) for drawn in DRAWN}
    four_doors = {style for style, panels in has.items() if "rear-door-left" in panels}
    assert four_doors == {"sedan", "hatchback", "wagon", "suv"}
    tailgates = {style for style, panels in has.items() if "tailgate" in panels}
    assert tailgates == {"hatchback", "wagon", "suv", "pickup"}
    assert {s for s, panels in has.items() if "boot-lid" in panels} == {
        "sedan", "coupe", "convertible",
    }  # fmt: skip
    assert {s for s, panels in has.items() if "roof" not in panels} == {"convertible"}
    assert "soft-top" in has["convertible"]
    assert has["pickup"] >= {"bed-left", "bed-right", "cab-corner-left"}
    assert not has["pickup"] & {"rear-wing-left", "boot-lid"}
    assert has["van"] >= {"side-panel-left", "side-panel-right", "back-door-left"}
    for panels in has.values():
        left = {panel[: -len("-left")] for panel in panels if panel.endswith("-left")}
        assert left == {panel[: -len("-right")] for panel in panels if panel.endswith("-right")}


def test_every_style_has_the_same_places_besides_its_panels() -> None:
    places = {frozenset(outlines.places_of(style)) for style in outlines.STYLES}
    assert len(places) == 1


@pytest.mark.parametrize(("drawn", "view"), VIEWS, ids=_id)
def test_a_figure_and_a_mark_lie_on_their_panel(drawn: Outline, view: View) -> None:
    for panel in view.panels:
        if panel.label is None or panel.marks is None:
            continue
        corners = _corners(panel.path)
        if view.is_mirrored:
            corners = [(view.length - x, y) for x, y in corners]
        assert _is_inside(panel.label, corners), panel.id
        assert panel.marks.wide >= MARK[0], panel.id
        assert panel.marks.high >= MARK[1], panel.id
        middle = (panel.marks.x + panel.marks.wide / 2, panel.marks.y + panel.marks.high / 2)
        assert _is_inside(middle, corners), panel.id


@pytest.mark.parametrize(("drawn", "view"), VIEWS, ids=_id)
def test_no_figure_covers_another_or_the_room_of_a_mark(drawn: Outline, view: View) -> None:
    figures = {p.id: _figure(p.label) for p in view.panels if p.label is not None}
    rooms = {f"{p.id} marks": p.marks for p in view.panels if p.marks is not None}
    boxes = {**figures, **rooms, **view.places}
    for (name, one), (other_name, other) in itertools.combinations(boxes.items(), 2):
        assert not _overlap(one, other), f"{drawn.style}, {view.name}: {name} and {other_name}"
    for name, box in boxes.items():
        assert box.x >= 0, name
        assert box.y >= 0, name
        assert box.x + box.wide <= view.wide, name
        assert box.y + box.high <= view.high, name


@pytest.mark.parametrize("drawn", DRAWN, ids=_id)
def test_each_panel_has_one_place_for_its_figure(drawn: Outline) -> None:
    labels = [panel.id for view in drawn.views for panel in view.panels if panel.label is not None]
    assert sorted(labels) == sorted(outlines.panels_of(drawn.style))


@pytest.mark.parametrize("drawn", DRAWN, ids=_id)
def test_the_wheels_stand_on_the_ground_and_are_of_a_cars_size(drawn: Outline) -> None:
    """The axles of a road car lie three and a half to five wheel diameters apart: no source."""
    (front_x, y, radius), (rear_x, rear_y, rear_radius) = drawn.left.wheels.values()
    assert y + radius == rear_y + rear_radius == drawn.left.ground
    assert 3.5 <= (rear_x - front_x) / (2 * radius) <= 5
    right_front, _, _ = drawn.right.wheels["front-right"]
    assert right_front == drawn.left.length - front_x


def test_a_record_that_names_no_style_is_drawn_as_a_sedan() -> None:
    assert outlines.style_of("pickup") == "pickup"
    assert outlines.style_of(None) == outlines.style_of("spaceship") == "sedan"
