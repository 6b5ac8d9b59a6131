"""The car's number by its bar code, in a field without a network; typed, it has the same check.

Check digits by hand after 49 CFR 565.15(c): eleven divides the sum of values times weights with the
rest at position 9.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Locator, expect

from tests.browsing import CAMERA_ALLOWED, FAKE_CAMERA, launched
from tests.phone import code39
from tests.phone.capture.test_photos_and_notes import opened
from tests.phone.phone import Phone
from tests.phone.server import Server

#: All ones: 89 = 8 · 11 + 1, which is its ninth (the well-known test of the rule).
ON_THE_DASH = "11111111111111111"
#: The same with a 2 in position 12, whose weight is 7: 89 + 7 = 96 = 8 · 11 + 8, and it says 1.
ON_THE_DOOR = "11111111111211111"
#: With an O, which no number has.
MISPRINTED = "5ZZKDO3W0PT104417"
READER = "caches.open('bradawl-codes').then((one) => one.keys()).then((all) => all.length)"


@pytest.fixture(scope="module")
def away(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Phone]:
    """A phone whose camera shows a dash plate's code, far from its server, opened there anew."""
    folder = tmp_path_factory.mktemp("codes")
    film = folder / "dash.mjpeg"
    code39.film(ON_THE_DASH, film)
    server = Server(folder / "data")
    server.start()
    shown = f"--use-file-for-fake-video-capture={film}"
    with launched(FAKE_CAMERA, CAMERA_ALLOWED, shown) as browser:
        phone = Phone(browser, server.origin, region="us")
        phone.open()
        phone.wait_for_sync("server")
        phone.wait_for_worker()
        phone.begin(make="Tarn")
        # it comes by itself, in two files, beside what the app needs
        phone.wait_until(lambda: phone.page.evaluate(READER) == 2)
        server.kill()
        phone.reopen()
        yield phone
        phone.throw_away()


def scanning(phone: Phone) -> Locator:
    opened(phone).get_by_role("button", name="VIN by bar code").tap()
    return phone.page.get_by_role("dialog", name="VIN by bar code")


def read_from_file(sheet: Locator, text: str) -> None:
    picture = {"name": "IMG_1.png", "mimeType": "image/png", "buffer": code39.png(text)}
    sheet.locator("input[type=file]:not([capture])").set_input_files(picture)  # type: ignore[arg-type]


def recorded(phone: Phone) -> dict[str, object]:
    """Where numbers stand."""
    found = {event["put"]: event["value"] for event in phone.events() if "vin" in event["put"]}
    return {
        put.removeprefix("items/papers.number-match/readings/"): value["typed"]
        if isinstance(value, dict)
        else value
        for put, value in found.items()
    }


def test_dash_door_and_title_are_read_and_two_numbers_both_stand(away: Phone) -> None:
    # by the camera, as it runs
    sheet = scanning(away)
    expect(sheet.locator("[data-vin]")).to_have_text(ON_THE_DASH)
    expect(sheet).to_contain_text("Check digit 1 is right.")
    sheet.get_by_role("button", name="Dash plate").tap()
    expect(sheet.get_by_role("button", name="Dash plate")).to_have_attribute("aria-pressed", "true")
    # a 1 in position 10 and a digit in position 7: 2001 (49 CFR 565.15(d), table VII)
    sheet.get_by_role("button", name="Year is empty: set 2001").tap()
    expect(sheet.get_by_role("button", name=re.compile("^Year is empty"))).to_have_count(0)

    # by pictures; the camera still shows the dash, whose number was just dealt with
    sheet.get_by_role("button", name="Read another").tap()
    read_from_file(sheet, "KD12")
    expect(sheet.get_by_role("status")).to_contain_text("This code says “KD12”. That's no VIN")
    read_from_file(sheet, MISPRINTED)
    expect(sheet.get_by_role("status")).to_contain_text("No VIN has the letter O (position 6)")
    assert recorded(away) == {"vin/plate": ON_THE_DASH, "car/vin": ON_THE_DASH}
    read_from_file(sheet, ON_THE_DOOR)
    expect(sheet.locator("[data-vin]")).to_have_text(ON_THE_DOOR)
    expect(sheet).to_contain_text("Digit 9 is 1 and should be 8.")
    expect(sheet).to_contain_text("Two different VINs on this car. Both stay on record.")
    expect(sheet).to_contain_text(f"Dash plate: {ON_THE_DASH}")
    sheet.get_by_role("button", name="Door label").tap()
    expect(sheet.get_by_role("button", name="Door label")).to_have_attribute("aria-pressed", "true")
    # a place that has another number says what a tap would replace
    expect(sheet.get_by_role("button", name="Dash plate: replace what's there")).to_be_visible()
    both = {"vin/plate": ON_THE_DASH, "vin/label": ON_THE_DOOR, "car/vin": ON_THE_DASH}
    assert recorded(away) == both
    sheet.get_by_role("button", name="Done").tap()

    # among the facts stands what the check says of them, and the way to read one more
    away.go("facts")
    expect(away.page.get_by_label("VIN", exact=True)).to_have_value(ON_THE_DASH)
    expect(away.page.locator(".vin-checked")).to_contain_text("Same VIN everywhere: no")
    away.page.get_by_role("button", name="VIN by bar code").tap()
    expect(sheet.locator("[data-vin]")).to_have_text(ON_THE_DASH)
    sheet.get_by_role("button", name="Done").tap()
    card = away.card("papers.number-match")
    expect(card).to_have_attribute("data-grade", "major")


def test_an_old_cars_number_is_taken_as_it_is_and_a_slip_of_today_is_named(away: Phone) -> None:
    away.page.goto(f"{away.origin}/app/#/")
    away.begin(make="Tarn", year="1972")
    sheet = scanning(away)
    sheet.get_by_role("button", name="Type it").tap()
    sheet.get_by_label("VIN").fill("O44-Q17")
    sheet.get_by_role("button", name="Check it").tap()
    expect(sheet).to_contain_text("before 1981 every maker had its own numbers")
    sheet.get_by_role("button", name="Paperwork").tap()
    expect(sheet.get_by_role("button", name="Paperwork")).to_have_attribute("aria-pressed", "true")
    assert recorded(away) == {"vin/papers": "O44-Q17", "car/vin": "O44-Q17"}
    expect(away.page.locator(".vin-others")).to_have_count(0)
    sheet.get_by_role("button", name="Done").tap()
    assert away.page.locator("[data-item][data-grade=major]").count() == 0

    away.page.goto(f"{away.origin}/app/#/")
    away.begin(make="Tarn")
    field = away.page.get_by_label("VIN", exact=True)
    field.fill(MISPRINTED)
    field.blur()
    expect(away.page.locator(".vin-checked")).to_contain_text("position 6 (O)")
    assert recorded(away) == {"car/vin": MISPRINTED}
