"""Finding a check: by a few letters, by what is left, and back to the same place."""

from __future__ import annotations

import re

from playwright.sync_api import Page, expect

from tests.phone.phone import Phone
from tests.phone.server import Server


def found(page: Page) -> list[str]:
    return [str(row.get_attribute("data-found")) for row in page.locator("[data-found]").all()]


def look_for(phone: Phone, words: str) -> None:
    phone.page.locator("#find").fill(words)
    phone.wait_until(lambda: "/find/" in phone.page.url)


def test_a_check_that_is_not_asked_is_found_by_typos_and_pulled_in_by_a_tap(
    server: Server, phone: Phone
) -> None:
    """Without a signal from the start of the visit on: what finds lies on the phone before."""
    phone.begin()
    phone.wait_for_judge()
    phone.wait_for_worker()
    server.kill()
    phone.reopen()
    phone.go("find")
    page = phone.page
    look_for(phone, "compresion")
    row = page.locator('[data-found="engine.compression"]')
    expect(row).to_contain_text("Add")
    row.tap()
    card = page.locator('[data-item="engine.compression"]')
    expect(card).to_have_attribute("data-grade", "open")
    card.get_by_role("button", name="Note, photo, how").tap()
    card.get_by_label("Note", exact=True).fill("Third one is weak")
    expect(phone.status()).to_contain_text("Third one is weak")
    # back is the search as it was
    page.locator("a.back").tap()
    expect(page.locator("#find")).to_have_value("compresion")
    expect(page.locator('[data-found="engine.compression"]')).to_be_visible()
    # what was typed is found too, in any order
    look_for(phone, "weak third")
    expect(page.locator('[data-found="engine.compression"]')).to_contain_text("Third one is weak")
    assert found(page)[0] == "engine.compression"
    # and what the check calls otherwise: what people say came along (common practice, no source)
    look_for(phone, "gas tank")
    expect(page.locator("[data-found]").first).to_have_attribute("data-found", "fuel.tank")


def test_facts_and_areas_are_found_and_lead_there(phone: Phone) -> None:
    phone.begin(make="Tarn")
    phone.page.get_by_label("VIN", exact=True).fill("1TARN99X")
    expect(phone.status()).to_contain_text("1TARN99X")
    phone.go("find")
    look_for(phone, "tarn99")
    row = phone.page.locator('[data-found="car/vin"]')
    expect(row).to_contain_text("1TARN99X")
    row.tap()
    expect(phone.page).to_have_url(re.compile("facts$"))
    phone.go("find")
    look_for(phone, "brakes")
    phone.page.locator('[data-found="area/brakes"]').tap()
    expect(phone.page).to_have_url(re.compile("area/brakes$"))


def test_what_is_left_is_counted_narrowed_and_answered_from_the_list_and_back(
    phone: Phone,
) -> None:
    phone.begin()
    phone.wait_for_judge()
    phone.page.locator("a.back").tap()
    phone.page.get_by_role("link", name="Find a check").first.tap()
    page = phone.page
    expect(page.locator("#find")).to_be_visible()
    everything = len(found(page))
    assert everything > 100
    expect(page.locator(".find-count")).to_have_text(f"{everything} checks")
    # each area says how many it would leave, and leaves so many
    option = page.locator('#find-area option[value="lamps"]')
    count = int(option.inner_text().rpartition(" ")[2])
    page.locator("#find-area").select_option("lamps")
    expect(page.locator("[data-found]")).to_have_count(count)
    listed = found(page)
    assert all(item.startswith("lamps.") for item in listed)
    # from the second one back to the list: it is gone, and its place is on the screen
    page.locator(f'[data-found="{listed[1]}"]').tap()
    card = page.locator(f'[data-item="{listed[1]}"]')
    card.locator(".answers .choice").last.tap()
    expect(card).not_to_have_attribute("data-grade", "open")
    phone.wait_for_judge()
    page.locator("a.back").tap()
    expect(page.locator("#find-area")).to_have_value("lamps")
    expect(page.locator(f'[data-found="{listed[1]}"]')).to_have_count(0)
    expect(page.locator(f'[data-found="{listed[2]}"]')).to_be_focused()
    # and the same after a start anew
    phone.close()
    phone.page.goto(f"{phone.origin}/app/")
    expect(phone.page.locator("#find-area")).to_have_value("lamps")
    expect(phone.page.locator("[data-found]")).to_have_count(count - 1)
    page = phone.page
    page.get_by_role("button", name=re.compile("^Not checked")).tap()
    expect(page.locator("[data-found]")).to_have_count(1)
    assert found(page) == [listed[1]]
    page.get_by_role("button", name=re.compile("^From this phone")).tap()
    expect(page.locator("[data-found]")).to_have_count(1)


def test_the_rest_of_a_narrowed_list_is_one_tap_and_leaves_what_can_hurt(phone: Phone) -> None:
    phone.begin()
    phone.wait_for_judge()
    phone.go("find/left.area=interior")
    page = phone.page
    button = page.get_by_role("button", name="Mark the other")
    count = int(re.findall(r"\d+", button.inner_text())[0])
    before = found(page)
    button.tap()
    expect(page.locator("[data-found]")).to_have_count(len(before) - count)
    kept = {
        item["id"]
        for item in phone.checklist()["items"]
        if item["drive"] == "essential"
        or item["danger"] >= 3
        or any(one.get("grade") == "dangerous" for one in item["choices"] + item["limits"])
    }
    assert set(found(page)) == set(before) & kept
    # over the whole car there is no such tap
    page.locator("#find-area").select_option("")
    expect(page.get_by_role("button", name="Mark the other")).to_have_count(0)
