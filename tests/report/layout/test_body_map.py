"""The car on paper: figures and marks have room on every style, marks where the faults are."""

from __future__ import annotations

import io
import itertools
from typing import Any

import pytest

from bradawl.design import finishes, outlines
from bradawl.design.marked_car import crossings
from bradawl.design.outlines import BodyStyle, Box
from bradawl.inspection.on_car import body_style, places_of_finding
from bradawl.report.layout.drawing.body_map import BodyMap
from bradawl.report.layout.drawing.car_marks import Mark
from bradawl.report.layout.tagged_canvas import TaggedCanvas
from bradawl.report.layout.text import typeface
from bradawl.report.model.figures import Paint, Panel

typeface.register()
#: The narrowest column that the report sets a map in, and the width of a page of US Letter.
NARROWEST, WIDEST = 172.0, 540.0


def full(style: BodyStyle, width: float, each: int) -> BodyMap:
    """A car with the longest figure on every panel, and `each` marks at every place."""
    panels = outlines.panels_of(style)
    paint = Paint({panel: Panel("35.4 mil", "filler") for panel in panels}, "")
    places = [*panels, *outlines.places_of(style)]
    marks = [
        Mark(number, "major", (place,)) for number, place in enumerate(places * each, start=10)
    ]
    return BodyMap(marks, paint, {"bonnet": ("rust", "dent")}, width=width, style=style)


@pytest.mark.parametrize("each", [1, 2, 7])
@pytest.mark.parametrize("width", [NARROWEST, 300.0, WIDEST])
@pytest.mark.parametrize("style", outlines.STYLES)
def test_nothing_covers_anything_on_a_full_record(
    style: BodyStyle, width: float, each: int
) -> None:
    drawn = full(style, width, each)
    shown = 0
    for view, marked in drawn.layouts:
        figures = [(figure.panel, figure.box) for figure in marked.figures]
        marks = [(f"{mark.place} {mark.number}", mark.box) for mark in marked.marks]
        shown += len(marks)
        for (name, one), (other_name, other) in itertools.combinations([*figures, *marks], 2):
            assert _apart(one, other), f"{view.name}: {name} and {other_name}"
        for name, box in [*figures, *marks]:
            assert box.x >= -3, name
            assert box.x + box.wide <= view.wide + 3, name
            assert box.y >= -marked.above - 0.01, name
            assert box.y + box.high <= view.high + marked.below + 0.01, name
        assert crossings(marked.lines, [box for _, box in figures]) == []
    # every finding is on the map, once: the places ahead, behind and below on the left view
    assert shown == each * len([*outlines.panels_of(style), *outlines.places_of(style)]) + 2


def _apart(one: Box, other: Box) -> bool:
    """Whether two boxes leave each other free, but for what rounding takes."""
    return (
        one.x + one.wide <= other.x + 0.01
        or other.x + other.wide <= one.x + 0.01
        or one.y + one.high <= other.y + 0.01
        or other.y + other.high <= one.y + 0.01
    )


@pytest.mark.parametrize("width", [NARROWEST, WIDEST])
def test_it_is_as_high_as_it_says_and_stays_within_its_column(width: float) -> None:
    drawn = full("pickup", width, 2)
    wide, high = drawn.wrap(width, 700)
    assert wide == width
    low = min(view.high for view, _ in drawn.layouts) * drawn.scale
    assert high > 2 * low
    canvas = TaggedCanvas(io.BytesIO(), pagesize=(612, 792), initialFontName=typeface.SANS)
    drawn.drawOn(canvas, 36, 36)


def test_filler_and_no_steel_are_told_apart_without_color() -> None:
    """A net and upright bars: strokes that share no direction, and bars three times as broad."""
    net, bars = finishes()["filler"], finishes()["no-reading"]
    assert bars.width >= 3 * net.width
    assert "L3 12" in bars.strokes  # straight down its tile
    assert net.strokes.count("M") == 2


ITEM: dict[str, Any] = {
    "id": "invented.lips",
    "on_car": ["front-left", "front-right"],
    "body_map": {
        "show": "card",
        "panels": [],
        "places": {"rear-left": ["rear-wing-left", "bed-left"]},
    },
}


@pytest.mark.parametrize(
    ("reasons", "photographed", "style", "found"),
    [
        # the judge names the place of the fault: whatever else was measured is no mark
        ([{"said": {"args": {"name": {"fact": "pad", "at": "front-left"}}}}], (), "sedan",
         ("front-left",)),
        ([{"said": {"args": {"others": {"list": [{"place": "front-right-outer"}]}}}}], (), "sedan",
         ("front-right",)),
        # an arch of a pickup is in its bed side
        ([], ("rear-left",), "pickup", ("bed-left",)),
        ([], ("rear-left",), "sedan", ("rear-wing-left",)),
        # nothing says where: where the item lies
        ([], (), "van", ("front-left", "front-right", "rear-wing-left")),
        ([], ("nowhere",), "pickup", ("front-left", "front-right", "bed-left")),
    ],
)  # fmt: skip
def test_a_finding_lies_where_its_fault_was_seen(
    reasons: list[Any], photographed: tuple[str, ...], style: BodyStyle, found: tuple[str, ...]
) -> None:
    assert places_of_finding(ITEM, reasons, photographed, style) == found


def test_an_item_that_lies_in_many_places_has_one_mark() -> None:
    item = {"id": "invented.bolts", "on_car": ["bonnet", "roof", "front", "rear", "cabin"]}
    assert places_of_finding(item, [], (), "sedan") == ("bonnet",)
    assert places_of_finding({"id": "invented.title"}, None, (), "sedan") == ()


@pytest.mark.parametrize("value", [None, 7, {"typed": "pickup"}, "spaceship"])
def test_a_style_that_is_none_is_a_sedan(value: object) -> None:
    assert body_style({"car/body_style": {"value": value}}) == "sedan"
    assert body_style({}) == "sedan"
