"""Where the items lie on the drawn car: whatever has a place is reached from it, on every style."""

from __future__ import annotations

from typing import Any, get_args

import pytest

from bradawl.design import outlines
from bradawl.judge.record import visit_facts
from bradawl.judge.values.types.terms import BodyStyle, CarPlace, Panel
from tests.checklists.judging import judge

#: Of the car's papers and of how it drives: seen at no place of it. Else an item says `on_car`.
NO_PLACE = {
    *("papers.registration", "papers.title-brands", "papers.lien", "papers.bill-of-sale"),
    *("papers.odometer-statement", "papers.legal-today", "papers.last-inspection"),
    *("papers.receipts", "papers.service-book", "papers.debts", "papers.recalls", "papers.story"),
    *("papers.changes-approved", "brakes.tester-print"),
}
STAGES_OF_NO_PLACE = {"road"}
AREAS_OF_NO_PLACE = {"upkeep"}


def lies_at(item: dict[str, Any], style: BodyStyle) -> set[str]:
    """The panels and places of a style at which the phone's map shows an item."""
    panels, places = outlines.panels_of(style), outlines.places_of(style)
    said = set(item["on_car"])
    found = said & {*panels, *places}
    if "body" in said:
        found |= set(panels)
    on = item.get("body_map")
    if on is not None:
        measured = [place for reading in item["readings"] for place in reading["at"]]
        told = {panel for place in on["places"].values() for panel in place} | set(on["panels"])
        found |= told & set(panels)
        found |= {
            panel
            for panel in panels
            if any(place == panel or place.startswith(f"{panel}-") for place in measured)
        }
    return found


@pytest.mark.parametrize("style", outlines.STYLES)
def test_every_item_with_a_place_is_reached_from_the_map(
    bundled: dict[str, Any], style: BodyStyle
) -> None:
    facts = visit_facts.visit_facts({}, "2026-11-30")
    facts["car"] = {"body_style": style}
    lost = [
        item["id"]
        for item in bundled["items"]
        if visit_facts.applies(
            {k: v for k, v in item["applies"].items() if k == "body_style"}, facts
        )
        and (item["on_car"] or item.get("body_map"))
        and not lies_at(item, style)
    ]
    assert lost == []


def test_an_item_without_a_place_is_one_of_papers_or_of_the_road(bundled: dict[str, Any]) -> None:
    without = {
        item["id"]
        for item in bundled["items"]
        if not item["on_car"]
        and item.get("body_map") is None
        and item["stage"] not in STAGES_OF_NO_PLACE
        and item["area"] not in AREAS_OF_NO_PLACE
    }
    assert without == NO_PLACE


def test_the_panels_and_places_that_items_may_name_are_those_that_are_drawn(
    bundled: dict[str, Any],
) -> None:
    panels = {panel for style in outlines.STYLES for panel in outlines.panels_of(style)}
    places = {place for style in outlines.STYLES for place in outlines.places_of(style)}
    assert panels == set(get_args(Panel))
    assert places | {"body"} == set(get_args(CarPlace))
    assert set(outlines.STYLES) == set(get_args(BodyStyle)) == set(bundled["rules"]["bodies"])


def test_only_panels_that_a_style_has_are_needed_for_its_paint(bundled: dict[str, Any]) -> None:
    """Each style's own panels, one spot each, settle the paint map; with one less it stays open."""
    for style in outlines.STYLES:
        painted = [
            panel
            for panel in outlines.panels_of(style)
            if panel != "soft-top" and not panel.startswith("sill")
        ]
        readings = {f"film/{panel}-1": ("118", "um") for panel in painted}
        whole = judge(bundled, "accident.paint-film", readings, body_style=style)
        assert (whole["state"], whole["grade"]) == ("done", "none"), (style, whole["problems"])
        del readings[f"film/{painted[-1]}-1"]
        less = judge(bundled, "accident.paint-film", readings, body_style=style)
        assert less["state"] == "open", style
