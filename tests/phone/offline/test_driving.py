"""The drive home, stop by stop, with no server to be had: what is bad at a stop ends it.

The car and its findings are invented. What a stop looks at is common practice, no source; that the
placard's tire pressures are the ones to hold a tire to: 49 CFR 571.110, S4.3.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from tests.nasty.site import Site
from tests.phone.far_away import far_away, look, standing
from tests.phone.phone import Phone, picture

#: What of the drive's signs stands on the first stop's screen, in the checklist's order.
FIRST_STOP = [
    *("nuts", "tires", "hub-front-left", "hub-front-right", "hub-rear-left", "hub-rear-right"),
    *("burning", "fuel", "leaks", "temperature", "coolant", "oil", "charging"),
]


def seen(site: Site) -> dict[str, str]:
    """Two cars of which everything was looked at: one weeps coolant, the other leaks fuel."""
    facts = {
        "about/bundle": site.bundle["hash"],
        "about/region": "us",
        "car/odometer": {"typed": "142013", "unit": "mi"},
        "car/sticker_front": {"typed": "35", "unit": "psi", "from": "sticker"},
        "car/sticker_rear": {"typed": "33", "unit": "psi", "from": "sticker"},
        **{f"about/{name}": False for name in ("dark", "wet", "motorway")},
        "about/distance_home": {"typed": "40", "unit": "mi"},
    }
    fine = {f"items/{item['id']}/grade": {"grade": "none"} for item in site.bundle["items"]}
    leak = {"items/fluids.coolant-leak/grade": {"grade": "minor"}}
    fuel = {"items/fluids.fuel-leak/grade": {"grade": "dangerous"}}
    return {
        make: site.record([*(facts | {"car/make": make} | fine | found).items()])
        for make, found in (("Tarn", leak), ("Quill", fuel))
    }


@pytest.fixture(scope="module")
def away(
    browser: Browser, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[tuple[Phone, dict[str, str]]]:
    """A phone in a seller's driveway with two cars on it; its server is dead."""
    data = tmp_path_factory.mktemp("driving")
    site = Site(data)
    visits = seen(site)
    site.close()

    def near(phone: Phone) -> None:
        for visit in visits.values():
            expect(phone.page.locator(f'[data-visit="{visit}"]').first).to_be_visible()

    with far_away(browser, data, near=near) as phone:
        yield phone, visits


def sign(page: Page, name: str) -> Locator:
    return page.locator(f'[data-sign="{name}"]')


def answer(phone: Phone, name: str, reply: str) -> None:
    """Tap an answer; the last one of a stop closes it, so the line at the foot tells."""
    sign(phone.page, name).get_by_role("button", name=reply, exact=True).tap()
    expect(phone.status()).to_contain_text(f": {reply}.")


def test_a_car_that_is_hauled_has_no_drive_plan(away: tuple[Phone, dict[str, str]]) -> None:
    phone, visits = away
    page = phone.page
    phone.visit = visits["Quill"]
    phone.go("kerb")
    page.get_by_role("link", name="Drive home, stop by stop").tap()
    verdict = page.get_by_role("region", name="May it be driven")
    expect(verdict).to_have_attribute("data-drive", "trailer")
    expect(verdict).to_contain_text("No drive. Haul it.")
    first = page.get_by_role("region", name="To fix before it's driven")
    expect(first.get_by_role("link").first).to_contain_text("Fuel leak")
    for name in ("Before it rolls", "Watch on this car", "In the trunk"):
        expect(page.get_by_role("region", name=name)).to_have_count(0)
    expect(page.get_by_role("button", name="Parked")).to_have_count(0)
    look(page, "driving", "haul")


def test_from_the_first_bolt_to_a_hot_hub(away: tuple[Phone, dict[str, str]]) -> None:
    phone, visits = away
    page = phone.page
    phone.visit = visits["Tarn"]
    phone.go("drive")
    verdict = page.get_by_role("region", name="May it be driven")
    expect(verdict).to_have_attribute("data-drive", "drive")
    # this car's own: a weeping hose is watched, and wants water in the trunk
    watch = page.locator('[data-watch="coolant"]')
    expect(watch).to_contain_text("Found: ")
    expect(page.locator("[data-watch]")).to_have_count(1)
    expect(page.locator('[data-kit="water"]')).to_contain_text("Found: ")
    expect(page.locator('[data-kit="oil"]')).to_have_count(0)
    # nothing is asked of whoever may be driving
    expect(page.locator("[data-sign]")).to_have_count(0)
    look(page, "driving", "plan")
    page.get_by_role("button", name="Parked, engine off, brake set").tap()
    expect(sign(page, "tires")).to_contain_text("front 35 psi, rear 33 psi")
    expect(sign(page, "nuts")).to_contain_text("No figure for this car")
    look(page, "driving", "start")
    # a loose nut ends it, until a photo shows that it's tight
    answer(phone, "nuts", "Loose or missing")
    expect(verdict).to_have_attribute("data-drive", "trailer")
    expect(verdict).to_contain_text("Stop here.")
    bad = page.locator('[data-bad="nuts"]')
    expect(bad).to_contain_text("trailer")
    expect(page.get_by_role("region", name="In the trunk")).to_have_count(0)
    bad.locator('input[type="file"]').set_input_files(
        {"name": "n.jpg", "mimeType": "image/jpeg", "buffer": picture(1)}
    )
    expect(bad).to_have_count(0)
    expect(verdict).to_have_attribute("data-drive", "drive")
    expect(sign(page, "nuts")).to_have_attribute("data-state", "mended")
    job = "work/tyres.own-drive-0-nuts/mend"
    assert f"{job}/after/tyres.own-drive-0-nuts/grade" in standing(phone, job)
    # a slip is taken back by the other answer
    answer(phone, "lights", "Something is out")
    expect(verdict).to_have_attribute("data-drive", "trailer")
    answer(phone, "lights", "All work")
    expect(verdict).to_have_attribute("data-drive", "drive")
    assert standing(phone, "items/lamps.own-drive-0-lights") == {}
    for name, reply in (
        ("tires", "All hold air"),
        ("fluids", "All at the mark"),
        ("brake-stops", "Firm and straight"),
    ):
        answer(phone, name, reply)
    # five miles on, a phone that was put away asks again whether one is parked
    stop = page.locator('[data-stop="1"]')
    expect(stop).to_contain_text("After 5 mi")
    expect(page.locator("[data-sign]")).to_have_count(0)
    look(page, "driving", "rolling")
    stop.get_by_role("button", name="Parked, engine off, brake set").tap()
    expect(page.locator("[data-sign]")).to_have_count(len(FIRST_STOP))
    names = [one.get_attribute("data-sign") for one in page.locator("[data-sign]").all()]
    assert names == FIRST_STOP
    expect(sign(page, "temperature")).to_contain_text("On this car: ")
    stop.get_by_label(re.compile("^Odometer")).fill("142018")
    stop.get_by_label(re.compile("^Odometer")).blur()
    expect(phone.status()).to_contain_text("142,018")
    look(page, "driving", "stop")
    page.evaluate(
        "Object.defineProperty(document, 'visibilityState', {value: 'hidden', configurable: true});"
        "document.dispatchEvent(new Event('visibilitychange'));"
        "delete document.visibilityState"
    )
    expect(page.locator("[data-sign]")).to_have_count(0)
    stop.get_by_role("button", name="Parked, engine off, brake set").tap()
    answer(phone, "oil", "No gauge")
    answer(phone, "hub-front-left", "Hot")
    expect(verdict).to_have_attribute("data-drive", "trailer")
    hot = page.locator('[data-bad="hub"]')
    # the order is in sight, wherever the thumb was
    expect(verdict.get_by_text("Stop here.")).to_be_in_viewport()
    expect(hot).to_contain_text("Call a trailer.")
    expect(hot).to_contain_text("Hot parts")
    # no photo makes a hot hub fit to drive
    expect(hot.locator('input[type="file"]')).to_have_count(0)
    expect(page.get_by_text("behind the rail")).to_be_visible()
    look(page, "driving", "stop-here")
    # it is a finding of this visit: the decision and its card know it
    kept = standing(phone, "items/brakes.own-drive-1-hub-front-left")
    assert kept["items/brakes.own-drive-1-hub-front-left/grade"] == {"grade": "dangerous"}
    phone.go("kerb")
    expect(page.get_by_role("region", name="Verdict")).to_contain_text(
        "Heat at the hub, front left"
    )
    # as the app is opened again it stands there still
    phone.reopen()
    phone.go("drive")
    expect(phone.page.locator('[data-bad="hub"]')).to_be_visible()
    log = phone.page.get_by_role("region", name="Stops", exact=True)
    expect(log).to_contain_text("142,018 mi")
    expect(log).to_contain_text("Lug nuts: Loose or missing, fixed.")
