"""Cars that are renamed, archived and deleted: on this phone, on another one and at the desk."""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.phone.phone import Phone
from tests.phone.server import Server

pytestmark = pytest.mark.new_phone  # all cars that it has are counted


def row(phone: Phone, visit: str) -> str:
    return f'[data-visit="{visit}"]'


def desk(phone: Phone, path: str) -> str:
    answer = phone.context.request.get(f"{phone.origin}/desk/{path}")
    assert answer.ok, answer.status
    return answer.text()


def wait_for_desk(phone: Phone) -> None:
    """Until the desk has read every car; what is not read yet may still stand in its lists."""
    phone.wait_until(lambda: 'data-unread=""' in desk(phone, ""))


def cars(phone: Phone) -> Page:
    phone.page.goto(f"{phone.origin}/app/#/")
    expect(phone.page.get_by_role("button", name="Start a car")).to_be_visible()
    return phone.page


def second_phone(browser: Browser, server: Server) -> Phone:
    second = Phone(browser, server.origin)
    second.open()
    second.wait_for_sync("server")
    return second


def test_a_car_is_renamed_deleted_and_restored_for_every_reader(
    browser: Browser, server: Server, phone: Phone
) -> None:
    phone.begin(make="Tarn")
    page = cars(phone)
    page.get_by_role("link", name="Rename or put away: Tarn").tap()
    page.get_by_label("Name in the list").fill("Barn find")
    expect(phone.status()).to_contain_text("Barn find")
    expect(page.locator(".above")).to_have_text("Barn find")
    phone.wait_for_sync("server")
    second = second_phone(browser, server)
    expect(second.page.locator(row(second, phone.visit))).to_contain_text("Barn find")
    wait_for_desk(phone)
    assert "Barn find" in desk(phone, "")
    assert phone.visit in desk(phone, "compare")

    page.get_by_role("button", name="Delete", exact=True).tap()
    expect(page.get_by_role("button", name="Start a car")).to_be_visible()
    expect(page.locator(row(phone, phone.visit))).to_have_count(0)
    phone.wait_for_sync("server")
    wait_for_desk(phone)
    for path in ("", "board", "compare"):
        assert phone.visit not in desk(phone, path), path
    assert "Barn find" in desk(phone, "shelved")
    second.page.reload()
    second.wait_for_sync("server")
    expect(second.page.locator(row(second, phone.visit))).to_have_count(0)

    # it is restored where it was deleted, or anywhere else
    second.page.get_by_role("link", name="Archived and deleted (1)").tap()
    second.page.locator("[data-away]").get_by_role("button").tap()
    expect(second.page.locator("[data-away]")).to_have_count(0)
    second.wait_for_sync("server")
    phone.page.reload()
    phone.wait_for_sync("server")
    expect(phone.page.locator(row(phone, phone.visit))).to_contain_text("Barn find")
    wait_for_desk(phone)
    assert phone.visit in desk(phone, "")
    second.throw_away()


def test_a_stray_visit_is_on_no_other_list_until_something_is_recorded(
    browser: Browser, server: Server, phone: Phone
) -> None:
    phone.begin()
    phone.wait_for_sync("server")
    expect(cars(phone).locator(row(phone, phone.visit))).to_contain_text("Nothing recorded yet")
    second = second_phone(browser, server)
    phone.wait_until(lambda: any(one["visit"] == phone.visit for one in second.rows("visits")))
    expect(second.page.locator("[data-visit]")).to_have_count(0)
    wait_for_desk(phone)
    assert phone.visit not in desk(phone, "")
    assert phone.visit in desk(phone, "shelved")
    card = phone.card("accident.inner-wings")
    card.get_by_role("button", name="Minor", exact=True).tap()
    expect(card).to_have_attribute("data-grade", "minor")
    phone.wait_for_sync("server")
    second.page.reload()
    second.wait_for_sync("server")
    expect(second.page.locator(row(second, phone.visit))).to_be_visible()
    wait_for_desk(phone)
    assert phone.visit in desk(phone, "")
    second.throw_away()


def test_a_signed_car_is_not_deleted_and_archived_as_a_change_since_signing(phone: Phone) -> None:
    phone.begin(make="Tarn")
    phone.sign("Ada Example", "A yard")
    phone.go("manage")
    page = phone.page
    expect(page.locator("main")).to_contain_text("A locked look-over can't be deleted")
    expect(page.get_by_role("button", name="Delete", exact=True)).to_have_count(0)
    page.get_by_role("button", name="Archive", exact=True).tap()
    expect(page.locator(row(phone, phone.visit))).to_have_count(0)

    # the seal holds what was found; that it is archived came after
    def is_told() -> bool:
        _, mark, amendments = desk(phone, f"visits/{phone.visit}").partition('id="amendments"')
        return mark != "" and "Archived" in amendments

    phone.wait_until(is_told)
    phone.go("")
    expect(page.locator(".sealed")).to_contain_text("Locked by Ada Example")
