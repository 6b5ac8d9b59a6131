"""From symptom to cause with the server dead: found in the record, tested, ruled out, repaired.

What the trade would do: common practice, no source.
"""

from __future__ import annotations

import re

from playwright.sync_api import Page, expect

from tests.browsing import place_of
from tests.phone.phone import Phone
from tests.phone.server import Server


def reading(phone: Phone, item: str, name: str, typed: str) -> None:
    field = phone.card(item).get_by_role("textbox", name=name, exact=True)
    field.fill(typed)
    field.blur()


def standing(page: Page, cause: str) -> str | None:
    return page.locator(f'[data-cause="{cause}"]').get_attribute("data-standing")


def answer(page: Page, outcome: str) -> None:
    page.locator(".trouble-foot").get_by_role("button", name=outcome, exact=True).tap()


def test_a_cause_is_found_without_a_network_and_the_bill_follows(
    server: Server, phone: Phone
) -> None:
    phone.wait_for_worker()
    phone.begin(make="Tarn", model="Nine")
    server.kill()
    phone.reopen()  # a cold start: nothing of the screen was ever looked at
    phone.go("")
    page = phone.page
    page.get_by_role("link", name="Find a cause").tap()
    expect(page.get_by_role("heading", name="Find the cause")).to_be_visible()
    page.get_by_label("Search symptoms").fill("rail empties")
    expect(page.locator("[data-complaint]")).to_have_count(1)
    page.locator('[data-complaint="rest-pressure"]').tap()
    expect(page.get_by_role("region", name="Next test")).to_contain_text(
        "Gasoline in the regulator's vacuum hose"
    )
    expect(page.get_by_role("region", name="Next test")).to_contain_text(
        "Checks for: Regulator leaks back into the return."
    )
    # no figure stands beside the words
    assert "%" not in page.get_by_role("region", name="Causes").inner_text()
    answer(page, "Dry")
    expect(page.locator('[data-known="reference-hose"]')).to_contain_text("Dry")
    # what was measured on the item's own card counts, and says where it comes from
    for name, typed in (("At key-off", "250"), ("After the wait", "140"), ("Wait", "5")):
        reading(phone, "fuel.pressure-hold", name, typed)
    reading(phone, "fuel.pressure-hold", "After the wait, supply clamped", "240")
    phone.go("trouble/rest-pressure")
    known = page.locator('[data-known="clamp-supply"]')
    expect(known).to_contain_text("Supply clamped at key-off: Holds")
    expect(known).to_contain_text("Fuel pressure after key-off")
    phone.wait_until(lambda: standing(page, "pump-valve") == "likely")
    # ruled out with a reason, and kept
    page.locator('[data-cause="injector"] summary').tap()
    page.locator('[data-cause="injector"]').get_by_role("button", name="Rule out").tap()
    page.get_by_label(re.compile("^Why")).fill("cleaned last month")
    page.get_by_role("button", name="Rule it out").tap()
    out = page.get_by_role("region", name="Ruled out")
    expect(out).to_contain_text("cleaned last month (this phone")
    # found: its repair and no other is in the bill
    page.locator('[data-cause="pump-valve"] summary').tap()
    cause = page.locator('[data-cause="pump-valve"]')
    expect(cause).to_contain_text("Repair: New fuel pump with check valve")
    cause.get_by_role("button", name="This is it").tap()
    cause.get_by_role("button", name="Needs fixing").tap()
    expect(page.locator('[data-found="pump-valve"]')).to_contain_text(
        "New fuel pump with check valve is in the repairs now"
    )
    # measured before and after the fix, under stated conditions; both on one plot
    measure = page.locator('[data-measure="clamp-supply/rail"]')
    measure.locator("summary").tap()
    measure.get_by_label(re.compile(r"^Rail pressure \(After the fix")).fill("248")
    measure.get_by_label("Minutes after key-off").fill("10")
    measure.get_by_role("button", name="hot").tap()
    measure.get_by_role("button", name="Save reading").tap()
    plot = measure.get_by_role("img", name=re.compile("Rail pressure: before not taken; after"))
    expect(plot).to_be_visible()
    expect(measure).to_contain_text("After the fix · Engine hot")
    again = page.locator('[data-after="clamp-supply"]')
    again.get_by_role("button", name="Falls").tap()
    expect(again.get_by_role("button", name="Falls")).to_have_attribute("aria-pressed", "true")
    phone.wait_for_judge()
    phone.go("kerb")
    repairs = page.get_by_role("region", name="Reasons to pay less")
    expect(repairs).to_contain_text("New fuel pump with check valve")
    expect(repairs).not_to_contain_text("New pressure regulator")
    phone.wait_for_sync("phone")
    server.start()
    phone.wait_for_sync("server")


def test_a_test_without_its_tool_is_passed_over_and_comes_back(
    server: Server, phone: Phone
) -> None:
    phone.wait_for_worker()
    phone.begin(make="Tarn")
    server.kill()
    phone.go("trouble/rest-pressure")
    page = phone.page
    page.get_by_text(re.compile(r"^Other tests")).tap()
    page.get_by_role("button", name=re.compile("^Return clamped at key-off")).tap()
    # the results are in reach of a thumb, and large enough for it
    foot = page.locator(".trouble-foot")
    expect(foot).to_have_attribute("data-test", "clamp-return")
    for button in foot.get_by_role("button").all():
        box = place_of(button)
        assert box["height"] >= 48
        assert box["y"] > 844 / 2
    page.get_by_role("button", name="No hose clamp pliers here").tap()
    page.get_by_text(re.compile(r"^Passed over")).tap()
    row = page.locator('[data-passed="clamp-return"]')
    expect(row).to_contain_text("Needs: hose clamp pliers")
    row.get_by_role("button", name="I have it: hose clamp pliers").tap()
    expect(page.locator('[data-passed="clamp-return"]')).to_have_count(0)
