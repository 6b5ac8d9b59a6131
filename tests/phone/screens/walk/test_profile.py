"""The car's own figures on the phone, with the server stopped: asked where they first matter."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import httpx
import pytest
from playwright.sync_api import Browser, Locator, expect

from bradawl.common.settings import at
from bradawl.serving.core import Bradawl
from tests.browsing import place_of
from tests.checkout import checklist_bundle
from tests.phone.phone import Phone
from tests.phone.server import Server

ROOT = Path(__file__).parents[4]


@pytest.fixture(scope="module")
def away(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Phone]:
    """A phone at a car, far from its server, which is dead."""
    server = Server(tmp_path_factory.mktemp("figures"))
    server.start()
    with (ROOT / "demo/models.json").open("rb") as file:
        answer = httpx.post(
            f"{server.origin}/desk/models/import",
            files={"file": ("models.json", file, "application/json")},
            headers={"Origin": server.origin},
        )
    assert answer.status_code == 303, answer.text
    phone = Phone(browser, server.origin)
    phone.open()
    phone.wait_for_sync("server")
    phone.begin(make="Tarn", asking_price="2400")
    phone.page.get_by_role("button", name=re.compile("^Thorough")).tap()
    phone.wait_for_worker()
    server.kill()
    yield phone
    phone.throw_away()


def type_into(card: Locator, name: str, text: str) -> None:
    field = card.get_by_label(name, exact=True)
    field.fill(text)
    field.press("Tab")


def test_a_check_asks_for_the_figure_it_wants_and_says_where_it_was_read(away: Phone) -> None:
    card = away.card("fuel.regulator")
    type_into(card, "Vacuum hose off", "300")
    type_into(card, "Vacuum hose on", "242")
    expect(card).to_contain_text("No figure for this car: Maker's set pressure.")
    expect(card).to_have_attribute("data-grade", "open")
    card.get_by_role("button", name=re.compile("^Enter it")).tap()
    field = card.get_by_label("Maker's set pressure", exact=True)
    expect(field).to_be_focused()
    field.fill("300")
    field.press("Tab")
    expect(card).to_have_attribute("data-grade", "none")
    card.get_by_role("button", name="Manual", exact=True).tap()
    expect(card).to_contain_text("Maker's set pressure: 300 kPa, from the manual.")
    # kept with the car: the details have it, folded, and it may be changed there
    away.go("facts")
    group = away.page.locator('[data-group="fuel"]')
    expect(group).to_contain_text("1 of ")
    expect(group.get_by_label("Set pressure", exact=True)).to_be_hidden()
    group.locator("summary").tap()
    expect(group.get_by_label("Set pressure", exact=True)).to_have_value("300")
    type_into(group, "Set pressure", "420")
    card = away.card("fuel.regulator")
    expect(card).to_have_attribute("data-grade", "major")


def test_an_ok_by_eye_is_called_so_wherever_it_stands(away: Phone) -> None:
    card = away.card("steering.toe")
    card.get_by_role("button", name="OK", exact=True).tap()
    expect(card.locator("header .grade")).to_have_text("OK by eye")
    expect(card).to_contain_text("no figure for this car to hold it against: Maker's figure.")
    away.go("seal")
    signing = away.page.locator("details", has_text="OK by eye: 1")
    expect(signing.locator(".row-state .grade")).to_have_text("OK by eye")


def test_what_settles_the_checks_is_asked_in_folded_groups(away: Phone) -> None:
    away.go("facts")
    groups = away.page.locator(".profile-group")
    expect(groups).to_have_count(10)
    group = away.page.locator('[data-group="ignition"]')
    group.locator("summary").tap()
    group.get_by_role("button", name="A coil on each plug").tap()
    away.wait_for_judge()
    away.go("area/ignition")
    expect(away.page.locator('[data-item="ignition.plugs"]')).to_be_visible()
    expect(away.page.locator('[data-item="ignition.leads"]')).to_have_count(0)


def test_a_figure_that_only_helps_is_no_field_on_the_card(away: Phone) -> None:
    card = away.card("brakes.front-pads")
    expect(card.get_by_label("Maker's least pad")).to_have_count(0)
    away.go("facts")
    group = away.page.locator('[data-group="brakes"]')
    group.locator("summary").tap()
    type_into(group, "Least pad, front", "5")
    card = away.card("brakes.front-pads")
    expect(card.get_by_label("Maker's least pad", exact=True)).to_have_value("5")


def test_a_car_of_a_model_that_the_shop_remembers_begins_with_its_figures(away: Phone) -> None:
    away.page.evaluate("location.hash = '#/'")
    away.begin(make="BRASTHORN", year="1994")
    page = away.page
    model = page.get_by_label("Model", exact=True)
    model.fill("killdeer 3.3-wagon")
    model.blur()  # what is noted now is told, and in its place at once what comes of it
    known = page.get_by_role("region", name="What the shop knows of this model")
    expect(known).to_contain_text("Brasthorn Killdeer 3.3 wagon 1991–1996")
    expect(known).to_contain_text("Rear arm mounts go soft behind the cover")
    group = page.locator('[data-group="fuel"]')
    group.locator("summary").tap()
    expect(group.get_by_label("Set pressure", exact=True)).to_have_value("43")
    expect(group).to_contain_text("From the shop's figures for Brasthorn Killdeer")
    pump = away.card("cooling.pump")
    advice = pump.get_by_text("Look here first: Weeps from the hole")
    expect(advice).to_have_count(1)
    above, answers = place_of(advice), place_of(pump.locator(".choice").first)
    assert above is not None
    assert answers is not None
    assert above["y"] < answers["y"]
    # said once, and taken back with one tap
    away.go("facts")
    known.get_by_role("button", name="It's another model").tap()
    expect(known).to_have_count(0)
    group.locator("summary").tap()
    expect(group.get_by_label("Set pressure", exact=True)).to_have_value("")
    expect(away.card("cooling.pump")).not_to_contain_text("Look here first")


def offline_checklist(phone: Phone) -> str:
    """The address of the checklist that this phone has taken along as today's."""
    named = phone.page.evaluate("fetch('/api/v1/offline').then((answer) => answer.json())")
    return str(named["checklists"])


def before_the_profile() -> dict[str, Any]:
    """Today's checklist as it was when no fact of the car had a place of its own."""
    older: dict[str, Any] = json.loads(json.dumps(checklist_bundle()))
    del older["profile"]
    for rules in [*older["items"], *older["rules"]["items"].values()]:
        for reading in rules.get("readings") or []:
            reading.pop("figure", None)
            reading.pop("wants", None)
    older["hash"] = "b" * 64
    return older


@pytest.mark.new_phone
def test_a_visit_begun_before_such_facts_were_asked_is_asked_them_and_judged_by_them(
    browser: Browser, server: Server, monkeypatch: pytest.MonkeyPatch
) -> None:
    core = Bradawl(at(server.data))
    core.adapted_checklists.copy("before")
    older = before_the_profile()
    monkeypatch.setattr(core.adapted_checklists, "check", lambda _name: (older, []))
    core.adapted_checklists.keep("before", "test", "")
    core.adapted_checklists.use("before", older["hash"])
    phone = Phone(browser, server.origin)
    phone.open()
    phone.wait_for_sync("server")
    phone.begin(make="Tarn", year="1951")
    # a maker's figure stands where it was typed then, at the check
    card = phone.card("fuel.regulator")
    type_into(card, "Vacuum hose off", "300")
    type_into(card, "Vacuum hose on", "242")
    type_into(card, "Maker's set pressure", "300")
    expect(card).to_have_attribute("data-grade", "none")
    card = phone.card("electrical.charging")
    type_into(card, "Voltage while charging", "7.2")
    type_into(card, "Voltage at rest before", "6.3")
    expect(card).not_to_have_attribute("data-grade", "none")
    phone.wait_for_sync("server")
    core.adapted_checklists.use("", "")  # today's asks for the facts
    core.close()
    phone.wait_for_worker()
    phone.reopen()
    phone.wait_for_sync("server")
    phone.wait_until(lambda: core.checklists.hash in offline_checklist(phone))
    server.kill()
    phone.go("facts")
    group = phone.page.locator('[data-group="electrical"]')
    group.locator("summary").tap()
    # what is picked is asked, of the older visit too; a figure would fill no reading of its checks
    expect(group.get_by_role("button", name="6 volts")).to_be_visible()
    expect(group.get_by_label("Regulator, lowest voltage")).to_have_count(0)
    for name in ("origin", "engine", "fuel"):
        expect(phone.page.locator(f'[data-group="{name}"]')).to_have_count(1)
    group.get_by_role("button", name="6 volts").tap()
    expect(group).to_contain_text("1 of ")
    (told,) = [event for event in phone.events() if event["put"] == "car/volts"]
    assert told["value"] == "6"
    # 6.9 to 7.4 V are what a 6 V car is charged with: the check's own words
    expect(phone.card("electrical.charging")).to_have_attribute("data-grade", "none")
    card = phone.card("fuel.regulator")
    expect(card.get_by_label("Maker's set pressure", exact=True)).to_have_value("300")
    expect(card).to_have_attribute("data-grade", "none")
    phone.throw_away()


def test_a_fact_is_asked_beside_the_first_check_that_hangs_on_it_and_never_again(
    away: Phone,
) -> None:
    """No source: the page's promise. The server is dead."""
    away.page.goto(f"{away.origin}/app/#/")
    away.begin(make="Tarn")
    away.go("area/brakes")
    away.whole_page()
    asked = away.page.locator('[data-asked="rear_brakes"]')
    expect(asked).to_have_count(1)
    # at the first of the checks for discs or drums behind, in one line of the screen
    first = asked.evaluate("(one) => one.nextElementSibling.dataset.item")
    rear = [item["id"] for item in checklist_bundle()["items"]
            if "rear_brakes" in item["applies"]]  # fmt: skip
    assert first in rear
    assert place_of(asked)["height"] <= 110
    drum = asked.get_by_role("button", name="Drum")
    drum.tap()
    # checks of the other kind are gone with it
    expect(away.page.locator('[data-item="brakes.rear-discs"]')).to_have_count(0)
    expect(away.page.locator('[data-item="brakes.rear-drums"]')).to_have_count(1)
    front = away.page.locator('[data-asked="front_brakes"]')
    front.get_by_role("button", name="Don't know").tap()
    expect(front.get_by_role("button", name="Don't know")).to_have_attribute("aria-pressed", "true")
    # nobody knowing takes nothing away
    expect(away.page.locator('[data-item="brakes.front-pads"]')).to_have_count(1)
    away.go("")
    away.go("area/brakes")
    away.whole_page()
    expect(away.page.locator("[data-asked*=brakes]")).to_have_count(0)
    away.go("facts")
    rear_fact = away.page.get_by_role("group", name="Rear brakes")
    expect(rear_fact.get_by_role("button", name="Drum")).to_have_attribute("aria-pressed", "true")
