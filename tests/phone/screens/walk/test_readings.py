"""A reading is typed in place, in the person's own manner, and judged as it is typed."""

from __future__ import annotations

import re

from playwright.sync_api import Browser, expect

from tests.phone.phone import Phone
from tests.phone.server import Server


def wait_for_reading(phone: Phone, put: str, *allowed: object) -> None:
    """Until the last value recorded there is one of these: a reading is recorded after a pause."""

    def recorded() -> bool:
        values = [event["value"] for event in phone.events() if event["put"] == put]
        return bool(values) and values[-1] in allowed

    phone.wait_until(recorded, 15)


PAD = "items/brakes.front-pads/readings/pad/front-left"


def test_a_decimal_comma_is_kept_as_typed_and_judged(phone: Phone) -> None:
    phone.begin()
    card = phone.card("brakes.front-pads")
    phone.in_millimeters(card)
    field = card.get_by_role("textbox", name=re.compile("front left", re.I)).first
    field.press_sequentially("x2,5mm")
    expect(field).to_have_value("2,5")
    # 4/32 in: common practice, no source (checklists/brakes.yaml), said in the reading's unit
    expect(card.locator(".reasons")).to_contain_text("2.5 mm is under 3.18 mm")
    expect(card).to_have_attribute("data-grade", "minor")
    wait_for_reading(phone, PAD, {"typed": "2,5", "unit": "mm"})


def test_the_unit_is_switched_beside_the_number(phone: Phone) -> None:
    phone.begin()
    card = phone.card("brakes.front-pads")
    phone.in_millimeters(card)
    field = card.get_by_role("textbox", name=re.compile("front left", re.I)).first
    field.fill("1")
    expect(phone.status()).to_contain_text("1 mm")
    card.get_by_role("button", name=re.compile("Unit: mm")).tap()
    expect(phone.status()).to_contain_text("1/32 in")
    wait_for_reading(phone, PAD, {"typed": "1", "unit": "in/32"})


def test_steppers_count_with_one_thumb_and_keep_the_field_in_focus(phone: Phone) -> None:
    phone.begin()
    card = phone.card("brakes.front-pads")
    phone.in_millimeters(card)
    field = card.get_by_role("textbox", name=re.compile("front left", re.I)).first
    field.fill("4,5")
    more = card.get_by_role("button", name=re.compile("^More"))
    for _ in range(3):
        more.tap()
    expect(field).to_have_value("6")
    card.get_by_role("button", name=re.compile("^Less")).tap()
    expect(field).to_have_value(re.compile("5[.,]5"))
    wait_for_reading(phone, PAD, {"typed": "5.5", "unit": "mm"}, {"typed": "5,5", "unit": "mm"})


def test_numbers_are_written_as_the_phone_s_language_writes_them(
    browser: Browser, standing_server: Server
) -> None:
    """A decimal comma as German has it (Unicode CLDR); money as the words beside it have it."""
    phone = Phone(browser, standing_server.origin, locale="de-DE")
    phone.open()
    phone.wait_for_sync("server")
    phone.begin(asking_price="2400")
    card = phone.card("brakes.front-pads")
    phone.in_millimeters(card)
    field = card.get_by_role("textbox", name=re.compile("front left", re.I)).first
    field.focus()
    card.get_by_role("button", name=re.compile("^More")).tap()
    expect(field).to_have_value("0,5")
    expect(phone.status()).to_contain_text("0,5 mm")
    phone.go("kerb")
    expect(phone.page.get_by_role("region", name="Money")).to_contain_text("€2,400")
    phone.throw_away()


def test_enter_goes_on_to_the_next_of_several_readings(phone: Phone) -> None:
    phone.begin()
    card = phone.card("brakes.front-pads")
    phone.in_millimeters(card)
    card.get_by_role("textbox", name=re.compile("front left", re.I)).first.focus()
    for typed in ("4", "5"):
        phone.page.keyboard.type(typed)
        phone.page.keyboard.press("Enter")
    right = PAD.replace("left", "right")
    wait_for_reading(phone, PAD, {"typed": "4", "unit": "mm"})
    wait_for_reading(phone, right, {"typed": "5", "unit": "mm"})


def test_an_impossible_number_is_said_and_stays(phone: Phone) -> None:
    phone.begin()
    card = phone.card("brakes.front-pads")
    phone.in_millimeters(card)
    field = card.get_by_role("textbox", name=re.compile("front left", re.I)).first
    field.fill("900")
    expect(card.locator(".wrong")).to_be_visible()
    expect(phone.status()).to_contain_text("900 mm")
    expect(field).to_have_value("900")
    phone.page.reload()
    expect(field).to_have_value("900")


def test_a_person_overrules_a_measured_grade_only_with_a_reason_and_both_stand(
    phone: Phone,
) -> None:
    phone.begin()
    card = phone.card("brakes.front-pads")
    phone.in_millimeters(card)
    card.get_by_role("textbox", name=re.compile("front left", re.I)).first.fill("2,5")
    expect(card).to_have_attribute("data-grade", "minor")
    card.get_by_role("button", name=re.compile("^Note, photo")).tap()
    card.get_by_role("button", name="OK", exact=True).tap()
    expect(card).to_contain_text("Your rating differs from the measured one. Why?")
    expect(card).to_have_attribute("data-grade", "minor")
    card.get_by_role("button", name="part is new").tap()
    expect(card).to_have_attribute("data-grade", "none")
    expect(card).to_contain_text("Your rating counts. Measured: Minor")


def test_what_was_being_typed_is_kept_when_the_page_is_put_aside(phone: Phone) -> None:
    phone.begin()
    card = phone.card("brakes.front-pads")
    phone.in_millimeters(card)
    # time stands still: the pause after which a reading is recorded does not come to its end
    phone.page.clock.pause_at(phone.page.evaluate("Date.now() + 1_000"))
    card.get_by_role("textbox", name=re.compile("front left", re.I)).first.fill("4")
    phone.page.clock.run_for(200)
    assert [event for event in phone.events() if event["put"] == PAD] == []
    phone.page.evaluate("window.dispatchEvent(new Event('pagehide'))")
    wait_for_reading(phone, PAD, {"typed": "4", "unit": "mm"})
