"""Two phones at one car: what each recorded unseen is kept, and a person settles it."""

from __future__ import annotations

from playwright.sync_api import Browser, expect

from bradawl.app import Bradawl
from bradawl.settings import at
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
    other.get_by_role("button", name="Major", exact=True).tap()
    expect(other).to_have_attribute("data-grade", "major")
    phone.sign("Ada Example", "A yard")
    server.start()
    for one in (second, phone):
        one.page.reload()
        one.wait_for_sync("server")
    phone.go("")
    expect(phone.page.locator(".sealed")).to_contain_text("1 entry was added after signing")
    second.throw_away()


def test_the_checklist_of_another_phones_visit_is_taken_along_before_the_signal_is_gone(
    browser: Browser, server: Server, phone: Phone
) -> None:
    core = Bradawl(at(server.data))
    core.shelf.copy("yard")
    text = core.shelf.read("yard", "rodents.yaml")
    core.shelf.save("yard", "rodents.yaml", text.replace("title: Rodent damage", "title: Mice"))
    kept = core.shelf.keep("yard", "test", "")
    core.shelf.use("yard", kept.hash)
    phone.reopen()
    phone.wait_for_sync("server")
    phone.wait_for_worker()
    phone.wait_until(lambda: _offline_checklist(phone) == kept.hash)
    phone.reopen()
    phone.begin(make="Tarn")
    phone.wait_for_sync("server")
    core.shelf.use("", "")  # from here on, new visits begin with another checklist
    core.close()

    second = Phone(browser, server.origin)
    second.open()
    second.wait_for_sync("server")
    second.wait_for_worker()
    expect(second.page.locator(f'[data-visit="{phone.visit}"]')).to_contain_text("Tarn")
    second.page.wait_for_timeout(500)
    server.kill()
    second.reopen()
    second.visit = phone.visit
    second.go("area/rodents")
    expect(second.page.get_by_role("heading", level=1)).to_have_text("Mice")
    second.throw_away()


def _offline_checklist(phone: Phone) -> str:
    """The checklist that this phone would begin a visit with, by its hash."""
    named = phone.page.evaluate("fetch('/api/v1/offline').then((answer) => answer.json())")
    return str(named["checklists"]).rpartition("/")[2].removesuffix(".json")
