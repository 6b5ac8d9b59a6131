"""The drawn car on a visit's page: each tag leads to its finding, whatever the body style."""

from __future__ import annotations

import itertools
from types import SimpleNamespace
from typing import Any, cast
from xml.etree import ElementTree

import pytest

from bradawl.design import outlines
from bradawl.design.marked_car import lay_out
from bradawl.design.outlines import BodyStyle
from bradawl.desk.web.car_map import TAG, _size_of, car_map
from bradawl.inspection.snapshot import Snapshot

FILM = {
    "id": "coat.film",
    "title": "Film",
    "body_map": {"show": "film", "panels": [], "places": {}},
}
LIPS = {"id": "coat.lips", "title": "Lips <b>", "on_car": ["front-left", "engine-bay"]}


def drawn(style: str, grade: str, facts: dict[str, Any], after: str = "") -> ElementTree.Element:
    told = {
        "car/body_style": style,
        "work/coat.lips/1/after/coat.lips/grade": {"grade": after},
        "work/coat.lips/1/photos/aa": {"caption": "Painted"},
    }
    snapshot = SimpleNamespace(
        cells={path: {"value": value, "at": "1", "others": []} for path, value in told.items()},
        assessment={"items": {"coat.film": {"facts": facts}, "coat.lips": {"reasons": []}}},
        bundle={"items": [FILM, LIPS]},
        texts={"items": [FILM, LIPS]},
    )
    found = [{"id": "coat.lips", "title": "Lips <b>", "grade": grade}]
    areas: list[dict[str, Any]] = [{"id": "coat", "findings": found if grade else []}]
    return ElementTree.fromstring(f"<r>{car_map(cast(Snapshot, snapshot), areas)}</r>")


@pytest.mark.parametrize("style", outlines.STYLES)
def test_a_tag_leads_to_its_finding_and_says_what_it_is(style: str) -> None:
    page = drawn(style, "major", {})
    tags = page.findall(".//a")
    # once at each place where the item lies: the wheel from the left, the engine from above
    assert [tag.get("href") for tag in tags] == ["#item-coat-lips"] * 2
    assert {tag.get("aria-label") for tag in tags} == {"1 Needs fixing: Lips <b>"}
    assert len(page.findall(".//figure")) == 3


def test_a_tag_of_what_is_repaired_is_torn_and_says_so() -> None:
    (still, *_) = drawn("van", "major", {}, "minor").findall(".//a")
    (mended, *_) = drawn("van", "major", {}, "none").findall(".//a")
    assert still.get("aria-label") == "1 Needs fixing: Lips <b>"
    assert mended.get("aria-label") == "1 Needs fixing and Fixed: Lips <b>"
    (whole, torn) = (cast(ElementTree.Element, tag.find("path")) for tag in (still, mended))
    assert whole.get("d") != torn.get("d")


def test_a_panel_shows_its_paint_by_figure_and_pattern() -> None:
    facts = {
        "panel.bed-left": {"value": "900", "unit": "um"},
        "finish.bed-left": {"value": "filler"},
        "panel.rear-door-left": {"value": "1", "unit": "um"},  # no panel of a pickup
    }
    page = drawn("pickup", "", facts)
    (figure,) = page.findall(".//text[@class='figure']")
    assert str(figure.text).startswith(("900", "35.4"))
    assert [path.get("fill") for path in page.findall(".//path[@class='finish']")] == [
        "url(#finish-filler)"
    ]


@pytest.mark.parametrize("style", outlines.STYLES)
def test_figures_and_tags_of_a_full_record_leave_each_other_free(style: BodyStyle) -> None:
    """Common practice, no source: words over words cannot be read."""
    panels = outlines.panels_of(style)
    counts = dict.fromkeys((*panels, *outlines.places_of(style)), 1)
    for view in outlines.outline(style).views:
        laid = lay_out(view, dict.fromkeys(panels, "35.4"), counts, TAG, _size_of)
        boxes = [(one.panel, one.box) for one in laid.figures]
        boxes += [(f"tag of {one.place}", one.box) for one in laid.marks]
        for (name, one), (other_name, other) in itertools.combinations(boxes, 2):
            wide = min(one.x + one.wide, other.x + other.wide) - max(one.x, other.x)
            high = min(one.y + one.high, other.y + other.high) - max(one.y, other.y)
            assert wide <= 0.01 or high <= 0.01, f"{view.name}: {name} and {other_name}"
        for name, box in boxes:
            assert -4 <= box.x <= view.wide + 4 - box.wide, name
            assert -laid.above <= box.y + 0.01, name
            assert box.y + box.high <= view.high + laid.below + 0.01, name


def test_a_key_says_what_figures_and_patterns_mean() -> None:
    facts = {
        "panel.roof": {"value": "900", "unit": "um"},
        "finish.roof": {"value": "filler"},
        "finish.bonnet": {"value": "original"},
    }
    (key,) = drawn("van", "", facts).findall(".//ul[@class='car-key']")
    said = ["".join(row.itertext()).strip() for row in key]
    assert said == ["Figures: paint film in mil", "original paint", "filler"]


def test_a_visit_without_any_of_it_has_no_drawing() -> None:
    assert list(drawn("sedan", "", {})) == []
