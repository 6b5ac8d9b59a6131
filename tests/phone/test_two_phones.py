"""Two phones at one car: what each recorded unseen is kept, and a person settles it."""

from __future__ import annotations

from playwright.sync_api import Browser, expect

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
    other.get_by_role("button", name="Major", exact=True).tap()
    expect(other).to_have_attribute("data-grade", "major")
    server.start()
    for one in (phone, second, phone):
        one.page.reload()
        one.wait_for_sync("server")
    conflict = phone.page.locator('[data-item="accident.inner-wings"] .conflict')
    expect(conflict).to_contain_text("Two people recorded different answers")
    conflict.get_by_role("button", name="Major").tap()
    expect(conflict).to_have_count(0)
    expect(phone.page.locator('[data-item="accident.inner-wings"]')).to_have_attribute(
        "data-grade", "major"
    )
    phone.wait_for_sync("server")
    second.page.reload()
    second.wait_for_sync("server")
    expect(second.page.locator(".conflict")).to_have_count(0)
    second.throw_away()
