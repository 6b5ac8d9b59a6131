"""Two phones at one car: what each recorded unseen is kept, and a person settles it."""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser, expect

from bradawl.common.settings import at
from bradawl.serving.core import Bradawl
from tests.phone.phone import Phone
from tests.phone.server import Server


def test_two_answers_given_unseen_stand_side_by_side_until_one_tap_settles_them(
    browser: Browser, server: Server, phone: Phone
) -> None:
    phone.begin(make="Tarn")
    phone.wait_for_sync("server")
    second = Phone(browser, server.origin)
    second.open()
    second.wait_for_sync("server")
    second.visit = phone.visit
    # it is listed under its name before anybody opened it here
    expect(second.page.locator(f'[data-visit="{phone.visit}"]')).to_contain_text("Tarn")
    card, other = phone.card("accident.inner-wings"), second.card("accident.inner-wings")
    phone.wait_for_worker()
    second.wait_for_worker()

    server.kill()
    card.get_by_role("button", name="Minor", exact=True).tap()
    expect(card).to_have_attribute("data-grade", "minor")
    other.get_by_role("button", name="Needs fixing", exact=True).tap()
    expect(other).to_have_attribute("data-grade", "major")
    server.start()
    for one in (phone, second, phone):
        one.page.reload()
        one.wait_for_sync("server")
    conflict = phone.page.locator('[data-item="accident.inner-wings"] .conflict')
    expect(conflict).to_contain_text("Two people answered differently")
    conflict.get_by_role("button", name="Needs fixing").tap()
    expect(conflict).to_have_count(0)
    expect(phone.page.locator('[data-item="accident.inner-wings"]')).to_have_attribute(
        "data-grade", "major"
    )
    phone.wait_for_sync("server")
    second.page.reload()
    second.wait_for_sync("server")
    expect(second.page.locator(".conflict")).to_have_count(0)
    second.throw_away()


def test_an_answer_that_the_signing_phone_had_not_seen_counts_as_added_after_signing(
    browser: Browser, server: Server, phone: Phone
) -> None:
    phone.begin(make="Tarn")
    phone.wait_for_sync("server")
    second = Phone(browser, server.origin)
    second.open()
    second.wait_for_sync("server")
    second.visit = phone.visit
    second.wait_for_worker()
    expect(second.page.locator(f'[data-visit="{phone.visit}"]')).to_contain_text("Tarn")
    other = second.card("accident.inner-wings")
    server.kill()
    # recorded before the signature by the clock, and unknown to the phone that signs
    other.get_by_role("button", name="Needs fixing", exact=True).tap()
    expect(other).to_have_attribute("data-grade", "major")
    phone.sign("Ada Example", "A yard")
    server.start()
    for one in (second, phone):
        one.page.reload()
        one.wait_for_sync("server")
    phone.go("")
    expect(phone.page.locator(".sealed")).to_contain_text("1 change since signing")
    second.throw_away()


@pytest.mark.new_phone
def test_the_checklist_of_another_phones_visit_is_taken_along_before_the_signal_is_gone(
    browser: Browser, server: Server, phone: Phone
) -> None:
    core = Bradawl(at(server.data))
    core.adapted_checklists.copy("yard")
    text = core.adapted_checklists.read("yard", "rodents.yaml")
    core.adapted_checklists.save(
        "yard", "rodents.yaml", text.replace("title: Mice and other rodents", "title: Mice")
    )
    kept = core.adapted_checklists.keep("yard", "test", "")
    core.adapted_checklists.use("yard", kept.hash)
    phone.reopen()
    phone.wait_for_sync("server")
    phone.wait_for_worker()
    phone.wait_until(lambda: _offline_checklist(phone) == kept.hash)
    phone.reopen()
    phone.begin(make="Tarn")
    phone.wait_for_sync("server")
    core.adapted_checklists.use("", "")  # from here on, new visits begin with another checklist
    core.close()

    second = Phone(browser, server.origin)
    second.open()
    second.wait_for_sync("server")
    second.wait_for_worker()
    expect(second.page.locator(f'[data-visit="{phone.visit}"]')).to_contain_text("Tarn")
    address = f"/api/v1/checklists/{kept.hash}.json"
    there = "(address) => caches.match(address).then((found) => found !== undefined)"
    second.wait_until(lambda: second.page.evaluate(there, address))
    server.kill()
    second.reopen()
    second.visit = phone.visit
    second.go("area/rodents")
    expect(second.page.get_by_role("heading", level=1)).to_have_text("Mice")
    second.throw_away()


def test_a_visit_from_another_phone_opens_by_its_address_before_it_has_come_over(
    browser: Browser, server: Server, phone: Phone
) -> None:
    phone.begin(make="Tarn")
    phone.wait_for_sync("server")
    second = Phone(browser, server.origin)
    second.visit = phone.visit
    # its very first address: nothing of the visit, nor of any checklist, is on this phone yet
    second.page.goto(f"{server.origin}/app/#/visit/{phone.visit}/area/rust")
    expect(second.page.locator("main")).not_to_be_empty()
    expect(second.page.get_by_role("heading", level=1)).to_have_text("Rust")
    expect(second.page.locator("[data-item]").first).to_be_visible()
    second.throw_away()


def test_an_address_of_a_visit_that_nobody_has_says_so(phone: Phone) -> None:
    phone.visit = "0" * 32
    phone.go("area/rust")
    expect(phone.page.get_by_role("alert")).to_contain_text("may still be on its way")
    expect(phone.page.get_by_role("button", name="Try again")).to_be_visible()


def test_an_address_of_a_page_that_this_car_lacks_says_so(phone: Phone) -> None:
    phone.begin()
    phone.go("area/nothing-of-the-kind")
    expect(phone.page.locator("main")).to_contain_text("Nothing to check here on this car")


def _offline_checklist(phone: Phone) -> str:
    """The checklist that this phone would begin a visit with, by its hash."""
    named = phone.page.evaluate("fetch('/api/v1/offline').then((answer) => answer.json())")
    return str(named["checklists"]).rpartition("/")[2].removesuffix(".json")
