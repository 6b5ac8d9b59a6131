"""An ad is kept and its claims are settled at the car, with no server to be had.

The ad is invented. That a claim without a receipt counts as not done is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from tests.phone.far_away import far_away, look, standing
from tests.phone.phone import Phone, picture

AD = """1968 Tarn wagon, $4,200 obo.
Runs and drives great. New brakes all around! Needs new tires.
Clean title in hand. Call Ed, 555-0142."""


@pytest.fixture(scope="module")
def away(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Phone]:
    """A phone on a kitchen table, far from its server, which is dead."""
    with far_away(browser, tmp_path_factory.mktemp("ad")) as phone:
        yield phone


def claim(page: Page, kind: str) -> Locator:
    return page.locator(f'[data-claim="{kind}"]')


def test_from_an_ad_to_a_claim_found_false_in_the_decision(away: Phone) -> None:
    phone, page = away, away.page
    phone.begin(make="Tarn")
    phone.go("")
    page.get_by_role("link", name="Ad and claims").tap()
    # nothing typed: said in a sentence, nothing recorded
    page.get_by_role("button", name="Keep the ad").tap()
    expect(page.get_by_role("alert")).to_contain_text("Paste the text first")
    page.get_by_label("Text of the ad").fill(AD)
    expect(page.get_by_label("Price asked")).to_have_value("$4,200")
    page.get_by_label("Where you saw it").fill("Board at the feed store")
    look(page, "ad", "form")
    page.get_by_role("button", name="Keep the ad").tap()
    ad = page.locator("[data-ad]")
    expect(ad).to_contain_text("$4,200")
    name = ad.get_attribute("data-ad")
    kept = standing(phone, f"ads/{name}")[f"ads/{name}"]
    assert kept["text"] == AD
    assert kept["source"] == "Board at the feed store"
    # a new price stands beside the old one
    page.get_by_label("New price").fill("3700")
    page.get_by_role("button", name="Note the new price").tap()
    expect(ad.get_by_role("list", name="What was asked").locator("li")).to_have_count(2)
    expect(ad).to_contain_text("$500 less")
    prices = [value["amount"] for value in standing(phone, f"ads/{name}/prices/").values()]
    assert sorted(prices) == [3700, 4200]
    assert standing(phone, "about/asking_price") == {"about/asking_price": 3700}
    ad.locator('input[type="file"]').set_input_files(
        {"name": "ad.jpg", "mimeType": "image/jpeg", "buffer": picture(1)}
    )
    expect(ad.locator(".photo img")).to_be_visible()
    # what it seems to say, and not what it denies
    spotted = ad.locator("[data-spotted]")
    expect(spotted).to_have_count(3)
    expect(ad.locator('[data-spotted="new-tires"]')).to_have_count(0)
    look(page, "ad", "ad")
    ad.locator('[data-spotted="new-brakes"]').tap()
    expect(claim(page, "new-brakes")).to_have_attribute("data-standing", "claimed")
    expect(spotted).to_have_count(2)
    # what the seller says, by word of mouth
    new = page.get_by_role("region", name="Add what somebody says")
    new.get_by_label("Their words").fill("she never leaks, always garaged")
    expect(new.get_by_role("status")).to_contain_text("Always garaged")
    new.get_by_role("button", name="Add", exact=True).tap()
    expect(claim(page, "always-garaged")).to_contain_text("Seller")
    # proven takes a photo
    claim(page, "always-garaged").get_by_text("Who, proof, change").tap()
    states = claim(page, "always-garaged").get_by_role("group", name="What became of it")
    states.get_by_role("button", name="Proven").tap()
    expect(claim(page, "always-garaged").get_by_role("alert")).to_contain_text("receipt")
    claim(page, "always-garaged").locator('input[type="file"]').set_input_files(
        {"name": "r.jpg", "mimeType": "image/jpeg", "buffer": picture(2)}
    )
    expect(claim(page, "always-garaged").locator(".photo img")).to_be_visible()
    phone.wait_until_still()
    states.get_by_role("button", name="Proven").tap()
    expect(claim(page, "always-garaged")).to_have_attribute("data-standing", "proven")
    # the ad outlives the app
    visit = phone.visit
    page = phone.reopen()
    phone.visit = visit
    phone.go("ad")
    expect(page.locator("[data-ad]")).to_contain_text("$4,200")
    # what the claim is about comes first
    phone.wait_for_judge()
    phone.go("kerb")
    first = page.get_by_role("region", name="Check next").get_by_role("listitem")
    page.get_by_role("button", name="more checks").tap()
    expect(first.filter(has_text="Front brake pads")).to_be_visible()
    # the row and the card say who claims it; the answer settles it by a tap
    phone.go("stage/underneath")
    row = page.locator('[data-item="brakes.front-pads"]')
    expect(row).to_contain_text("The ad says: New brakes")
    look(page, "ad", "row")
    card = phone.card("brakes.front-pads")
    expect(card).to_contain_text("The ad says: New brakes")
    if card.get_by_role("button", name="Unit: mm").count() == 0:
        phone.in_millimeters(card)
    field = card.get_by_role("group", name="Pad remaining").get_by_role("textbox").first
    field.fill("1")
    field.blur()
    settle = page.get_by_role("region", name="Claims your checks have answered")
    expect(settle).to_contain_text("Front")
    settle.get_by_role("button", name="Mark as false").tap()
    expect(settle).to_have_count(0)
    phone.wait_for_judge()
    phone.go("kerb")
    expect(page.locator("main")).to_contain_text('You were told "New brakes".')
    look(page, "ad", "decision")
    phone.go("ad")
    expect(claim(page, "new-brakes")).to_have_attribute("data-standing", "false")
    look(page, "ad", "claims")


def test_an_ad_shared_from_another_app_waits_for_its_car(away: Phone) -> None:
    phone, page = away, away.page
    page.goto(f"{phone.origin}/app/#/")
    page.evaluate(
        """(text) => {
          const form = document.createElement("form");
          Object.assign(form, { method: "post", action: "/app/share" });
          form.enctype = "multipart/form-data";
          for (const [name, value] of [["title", "Tarn wagon"], ["text", text], ["url", ""]]) {
            form.append(Object.assign(document.createElement("input"), { name, value }));
          }
          document.body.append(form);
          form.submit();
        }""",
        AD,
    )
    expect(page.get_by_role("heading", name="Shared ad")).to_be_visible()
    expect(page.locator(".ad-text")).to_contain_text("Runs and drives great")
    # a killed app loses nothing of it
    page = phone.reopen()
    page.goto(f"{phone.origin}/app/#/shared")
    look(page, "ad", "shared")
    page.get_by_role("button", name="Start a car with it").tap()
    expect(page.locator("[data-ad]")).to_contain_text("$4,200")
    page.get_by_text("Read the ad as it was").tap()
    expect(page.locator(".ad-text")).to_contain_text("Needs new tires")
    page.goto(f"{phone.origin}/app/#/shared")
    expect(page.locator("main")).to_contain_text("Nothing shared is waiting")
