"""Starting a car: six facts and no more, a first look that can be skipped, pairing in its time."""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser, expect

from tests.phone.phone import Phone
from tests.phone.server import Server


@pytest.mark.new_phone
def test_a_car_is_started_by_six_facts_and_the_others_stay_in_reach(phone: Phone) -> None:
    page = phone.page
    page.get_by_role("button", name="Start a car").tap()
    expect(page.get_by_label("Make", exact=True)).to_be_visible()
    phone.wait_until_still()
    fields = page.locator("main input").evaluate_all(
        "(all) => all.map((field) => field.labels[0].textContent)"
    )
    assert fields[:3] == ["Make", "Model", "Year"]
    assert len(fields) == 4
    assert fields[3].startswith("Asking price")
    groups = page.locator("main .fact-label").all_inner_texts()
    assert groups == ["Body", "What it's for"]
    page.get_by_label("Make", exact=True).fill("Tarn")
    page.get_by_role("link", name="More about this car").tap()
    expect(page.get_by_label("Make", exact=True)).to_have_value("Tarn")
    expect(page.get_by_label("Odometer")).to_be_visible()


@pytest.mark.new_phone
def test_the_first_look_is_offered_skipped_and_found_again(server: Server, phone: Phone) -> None:
    """On a server of its own: where cars came over, the list is not empty and offers none."""
    assert server.origin == phone.origin
    page = phone.page
    page.get_by_role("link", name="First look: two minutes").tap()
    for word in ("Open", "OK", "Minor", "Needs fixing", "Unsafe", "Not checked"):
        expect(page.locator("main dt").filter(has_text=word).first).to_be_visible()
    page.get_by_role("link", name="Got it").tap()
    phone.begin(make="Tarn")
    page.goto(f"{phone.origin}/app/#/")
    expect(page.locator("[data-visit]")).to_have_count(1)
    expect(page.get_by_role("link", name="First look: two minutes")).to_have_count(0)
    page.goto(f"{phone.origin}/app/#/storage")
    page.get_by_role("link", name="First look: two minutes").tap()
    expect(page.locator("h1")).to_have_text("First look")


@pytest.mark.new_phone
def test_pairing_is_no_first_word_and_no_offer_of_a_phone_out_of_reach(
    browser: Browser, server: Server, phone: Phone
) -> None:
    """Not of an unpaired phone with nothing to send, nor of a paired one without a signal."""
    phone.wait_for_worker()
    server.kill()
    page = phone.page
    page.reload()
    page.goto(f"{phone.origin}/app/#/storage")
    expect(page.get_by_role("button", name="Send now")).to_be_visible()
    phone.wait_until_still()
    expect(page.get_by_text("Pair this phone")).to_have_count(0)
    server.start()

    def refused(route: object) -> None:
        route.fulfill(status=401, json={"code": "unknown"})  # type: ignore[attr-defined]

    stranger = Phone(browser, server.origin)
    for address in ("**/api/v1/sync/**", "**/api/v1/pairing", "**/api/v1/me"):
        stranger.context.route(address, refused)
    stranger.open()
    stranger.wait_for_sync("pair")
    line = stranger.page.locator("a.sync")
    expect(line).to_have_text("Saved on this phone")
    stranger.begin(make="Tarn")
    expect(line).to_contain_text("Pair this phone to send")
    stranger.throw_away()
