"""The car's own figures on the phone, with the server stopped: asked where they first matter."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import httpx
import pytest
from playwright.sync_api import Browser, Locator, expect

from tests.phone.phone import Phone
from tests.phone.server import Server

ROOT = Path(__file__).parents[3]


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
    above, answers = advice.bounding_box(), pump.locator(".choice").first.bounding_box()
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
