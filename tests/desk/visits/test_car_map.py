"""The drawn car on a visit's page: each tag leads to its finding, whatever the body style."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any, cast
from xml.etree import ElementTree

import pytest

from bradawl.design import outlines
from bradawl.desk.web.car_map import car_map
from bradawl.inspection.snapshot import Snapshot

FILM = {
    "id": "coat.film",
    "title": "Film",
    "body_map": {"show": "film", "panels": [], "places": {}},
}
LIPS = {"id": "coat.lips", "title": "Lips <b>", "on_car": ["front-left", "engine-bay"]}


def drawn(style: str, grade: str, facts: dict[str, Any], after: str = "") -> ElementTree.Element:
    left = {"value": {"grade": after}}
    snapshot = SimpleNamespace(
        cells={"car/body_style": {"value": style}, "work/coat.lips/1/after/coat.lips/grade": left},
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


def test_a_visit_without_any_of_it_has_no_drawing() -> None:
    assert list(drawn("sedan", "", {})) == []
