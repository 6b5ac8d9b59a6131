"""The page may die at any moment: what the screen said was saved is there, and the chain holds."""

from __future__ import annotations

import base64
import itertools
import re
from typing import Any

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.log.sync import reference
from tests.phone.phone import Phone, picture
from tests.phone.server import Server


def chain_holds(events: list[dict[str, Any]]) -> bool:
    """Whether each device's events continue one another, by the second writing of the protocol."""
    for _, own in itertools.groupby(events, key=lambda event: event["device"]):
        prev = ""
        for seq, event in enumerate(own, 1):
            salt = base64.urlsafe_b64decode(event["salt"] + "==")
            if event["commit"] != reference.commit_of(salt, event["text"]):
                return False
            if event["seq"] != seq or event["prev"] != prev:
                return False
            prev = reference.hash_of(event)
    return True


def answer(page: Page) -> None:
    """Tap the first answer of the first open card, and wait until the screen says it is stored."""
    # one that is answered and not judged yet has no button in its row
    first = page.locator('[data-item][data-grade="open"]:has(.choice)').first
    expect(first).to_be_visible()
    card = page.locator(f'[data-item="{first.get_attribute("data-item")}"]')
    title = card.locator("h3").inner_text()
    card.locator(".choice").first.tap()
    expect(page.locator(".notice p")).to_contain_text(title)
    expect(card).not_to_have_attribute("data-grade", "open")


def test_keeps_what_it_acknowledged_when_the_tab_dies_during_saving(phone: Phone) -> None:
    phone.begin(make="Tarn")
    acknowledged = 0
    for death in range(4):
        phone.go("stage/outside")
        cards = phone.page.locator('[data-item][data-grade="open"]:has(.choice)')
        expect(cards.first).to_be_visible()
        # taps as fast as a thumb can, and death after a different number of them each time
        for _ in range(death):
            answer(phone.page)
            acknowledged += 1
        cards.first.locator(".choice").first.dispatch_event("click")
        phone.crash()
        phone.open()
        assert chain_holds(phone.log())
        answers = [event for event in phone.events() if str(event["put"]).startswith("items/")]
        # the last tap of each life may or may not have reached the disk; no other may be missing
        assert len(answers) >= acknowledged
        acknowledged = len(answers)


def finder_opens(card: Locator) -> bool:
    """Tap for a photo; whether the camera's picture shows."""
    video = card.locator(".finder-all video")
    if video.count() == 0:
        card.get_by_role("button", name="Photo", exact=True).tap()
    try:
        expect(video).to_be_visible(timeout=10_000)
    except AssertionError:
        return False
    return True


def test_nothing_is_lost_when_the_camera_kills_the_page(phone: Phone) -> None:
    phone.begin(make="Tarn")
    card = phone.card("rust.arches")
    card.get_by_role("button", name="Rusted through", exact=True).tap()
    expect(card).to_have_attribute("data-grade", re.compile("major|minor"))
    # where the browser's camera does not start the app asks for a file, and a person taps again
    phone.wait_until(lambda: finder_opens(card))
    phone.crash()
    phone.open()
    # back at the same item, its answer there, ready for the photo
    card = phone.page.locator('[data-item="rust.arches"]')
    expect(card.get_by_role("button", name="Rusted through", exact=True)).to_have_attribute(
        "aria-pressed", "true"
    )
    card.get_by_role("button", name="Photo", exact=True).tap()
    card.get_by_role("button", name="Take it").tap()
    expect(card.locator(".photo img")).to_have_count(1)


def test_an_upload_that_was_cut_goes_on_after_a_restart(server: Server, phone: Phone) -> None:
    phone.begin(make="Tarn")
    phone.wait_for_sync("server")
    server.kill()
    before = len(phone.cards())
    card = phone.card("rust.arches")
    card.get_by_role("button", name="Rusted through", exact=True).tap()
    for seed in range(6):
        phone.add_photo(card, picture(seed, (2000, 1500)), f"IMG_{seed}.jpg")
        expect(card.locator(".photo img")).to_have_count(seed + 1)
    server.start()
    phone.page.reload()
    phone.wait_until(lambda: phone.unsent() < 6)
    phone.crash()
    server.kill()
    server.start()
    phone.open()
    phone.wait_for_sync("server")
    assert [card["held"] for card in phone.cards()] == [1] * (before + 6)


def test_two_tabs_write_one_chain(phone: Phone) -> None:
    phone.begin(make="Tarn")
    phone.go("stage/outside")
    other = phone.context.new_page()
    other.goto(f"{phone.origin}/app/#/visit/{phone.visit}/stage/underneath")
    for page in (phone.page, other) * 3:
        answer(page)
    assert chain_holds(phone.log())
    assert len([event for event in phone.events() if event["put"].startswith("items/")]) == 6
    other.close()


@pytest.mark.new_phone
def test_a_clock_that_was_set_back_changes_neither_order_nor_result(phone: Phone) -> None:
    for year in (2020, 1970):
        recorded_in(phone, year)


def recorded_in(phone: Phone, year: int) -> None:
    phone.page.goto(f"{phone.origin}/app/#/")
    phone.begin(make="Tarn")
    card = phone.card("accident.water")
    card.get_by_role("button", name=re.compile("^Dry")).first.tap()
    expect(card).to_have_attribute("data-grade", "none")
    phone.page.clock.set_system_time(f"{year}-01-01T00:00:00Z")
    card.locator(".answers .choice-dangerous, .answers .choice-major").first.tap()
    expect(card).to_have_attribute("data-grade", re.compile("major|dangerous"))
    assert chain_holds(phone.log())
    stamps = [event["at"] for event in phone.events()]
    assert stamps == sorted(stamps)
    phone.wait_for_sync("server")
    phone.page.reload()
    expect(phone.page.locator('[data-item="accident.water"]')).to_have_attribute(
        "data-grade", re.compile("major|dangerous")
    )
