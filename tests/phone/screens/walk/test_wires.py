"""Wires are written down at the car with a few taps, and what is worked out stands beside them.

No network: the server is dead. The figures: 33 CFR 183.425 and FAA AC 43.13-1B, table 11-9.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, Locator, expect

from tests.browsing import place_of
from tests.phone.far_away import far_away
from tests.phone.phone import Phone

HARNESS = "rodents.engine-wiring"
FEEDS = "electrical.main-feeds"


@pytest.fixture(scope="module")
def away(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Phone]:
    """A phone at a car, far from its server, which is dead."""

    def near(phone: Phone) -> None:
        phone.begin(make="Tarn", asking_price="2400")

    with far_away(browser, tmp_path_factory.mktemp("wires"), near=near) as phone:
        yield phone


def recorded(phone: Phone, item: str) -> list[dict[str, Any]]:
    """Of each wire what stands, by field."""
    wires: dict[str, dict[str, Any]] = {}
    for event in phone.events():
        match = re.fullmatch(rf"items/{re.escape(item)}/wires/([^/]+)/(\w+)", event["put"])
        if match:
            wires.setdefault(match[1], {})[match[2]] = event["value"]
    kept = [
        {field: value for field, value in fields.items() if value is not None}
        for _, fields in sorted(wires.items())
    ]
    return [fields for fields in kept if fields]


def tap(phone: Phone, within: Locator, group: str, name: str) -> None:
    chips = within.get_by_role("group", name=group, exact=True)
    phone.tap(chips.get_by_role("button", name=name, exact=True))


def test_a_bunch_is_four_taps(away: Phone) -> None:
    card = away.card(HARNESS)
    tap(away, card, "Add a bunch. The worst of it is:", "Bare")
    fields = card.locator(".wire-fields")
    tap(away, fields, "Where", "firewall")
    tap(away, fields, "About how many", "12")
    tap(away, fields, "Thinnest, AWG", "18")
    row = card.locator("[data-wire]")
    expect(row).to_contain_text("12 wires, firewall, 18 AWG")
    expect(row).to_contain_text("Carries in a harness: 6 A")
    expect(card).to_have_attribute("data-grade", "major")
    expect(card.locator(".reasons")).to_contain_text("12 wires, firewall: bare.")
    assert recorded(away, HARNESS) == [
        {
            "kind": "bunch",
            "state": "bare",
            "where": "firewall",
            "count": {"typed": "12", "unit": "1"},
            "gauge": {"typed": "18", "unit": "AWG"},
        }
    ]
    # at least 48 pixels for a thumb
    for button in card.locator(".wires button").all():
        box = place_of(button)
        assert box["height"] >= 48, button.inner_text()


def test_the_work_says_from_how_many_wires_on_the_harness_is_cheaper(away: Phone) -> None:
    card = away.card(HARNESS)
    if not recorded(away, HARNESS):
        tap(away, card, "Add a bunch. The worst of it is:", "Bare")
    tips = re.compile(r"From \d+ wires on the harness is cheaper\.")
    expect(card.locator(".wires-tip")).to_contain_text(tips)
    away.decide()
    money = away.page.get_by_role("region", name="Reasons to pay less")
    line = money.get_by_role("listitem").filter(has_text="Repair the wires one by one")
    expect(line).to_contain_text(tips)


def test_a_feed_is_worked_out_and_taken_back(away: Phone) -> None:
    card = away.card(FEEDS)
    tap(away, card, "Add one wire. It is:", "Bare")
    fields = card.locator(".wire-fields")
    tap(away, fields, "What it feeds", "Fuel pump")
    tap(away, fields, "Wire size, AWG", "14")
    tap(away, fields, "Protected by", "None")
    fields.get_by_label("Load, A").fill("8")
    fields.get_by_label("Length there and back, ft").fill("12")
    fields.get_by_label("Length there and back, ft").press("Tab")
    row = card.locator("[data-wire]")
    expect(row).to_contain_text("bare and live, it can start a fire")
    # 8 A x 1.25 = 10 A; 0.00306 ohm/ft x 12 ft x 8 A = 0.29 V
    for words in (
        "Fuel pump, 14 AWG",
        "Carries in a harness: 10 A",
        "Carries alone: 20 A",
        "Fuse for its load: 10 A",
        "Largest fuse: 20 A",
        "Voltage drop: 0.29 V",
        "Shorted, it burns: within a second",
    ):
        expect(row).to_contain_text(words)
    expect(card).to_have_attribute("data-grade", "dangerous")
    expect(card.locator(".caution")).to_contain_text(["Don't move it"])
    away.reopen()
    card = away.card(FEEDS)
    row = card.locator("[data-wire]")
    expect(row).to_contain_text("Fuel pump, 14 AWG")
    away.tap(row.get_by_role("button").first)
    away.tap(card.get_by_role("button", name="Take back", exact=True))
    expect(row).to_have_count(0)
    expect(card).not_to_have_attribute("data-grade", "dangerous")
    away.tap(away.page.get_by_role("button", name="Undo"))
    expect(row).to_contain_text("Fuel pump, 14 AWG")
    expect(card).to_have_attribute("data-grade", "dangerous")


def test_a_circuit_that_no_chip_names_is_typed(away: Phone) -> None:
    card = away.card("rodents.rear-wiring")
    tap(away, card, "Add one wire. It is:", "Cut")
    field = card.get_by_label("Something else")
    field.fill("Roof beacon")
    field.press("Tab")
    expect(card.locator("[data-wire]")).to_contain_text("Roof beacon")
    expect(card.locator(".reasons")).to_contain_text("Roof beacon: cut.")
    expect(card).to_have_attribute("data-grade", "minor")
