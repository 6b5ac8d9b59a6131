"""Deciding at the car: three answers offline, and an edition for the seller that shows no money."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import expect

from tests.phone.phone import SIZE, Phone


def test_danger_time_and_money_stand_on_one_screen(phone: Phone) -> None:
    phone.begin(asking_price="2400")
    card = phone.card("rodents.battery-lead")
    card.get_by_role("button", name=re.compile("^Bare")).first.tap()
    expect(card).not_to_have_attribute("data-grade", "open")
    phone.go("kerb")
    page = phone.page
    counting = page.get_by_role("region", name="What counts")
    expect(counting.get_by_role("link").first).to_contain_text("Battery cables")
    # the rest is a tap away: the whole answer is at most four screens of this phone
    expect(page.get_by_role("link", name="Fuel leaks", exact=True)).to_have_count(0)
    assert page.evaluate("document.documentElement.scrollHeight") <= 4 * SIZE["height"]
    # four sums at a glance, which add up but for their rounding (half of 50 at the most, each);
    # a tap opens the reasons with their places
    less = page.get_by_role("region", name="Reasons to pay less")
    heads = less.locator("summary .amount, p.group > .amount")
    sums = [int(re.sub(r"\D", "", one)) for one in heads.all_inner_texts()]
    together = re.search(r"Together €([\d,]+), each job counted once\.", less.inner_text())
    assert together is not None
    total = int(together[1].replace(",", ""))
    assert total > 0
    assert abs(sum(sums) - total) <= 25 * (len(sums) + 1)
    assert all(amount % 5 == 0 for amount in [*sums, total])
    expect(less.locator(".group")).to_have_count(4)
    safety = less.locator('[data-group="safety"]')
    safety.locator("summary").tap()
    expect(safety.get_by_role("link").first).to_have_attribute(
        "href", re.compile("rodents.battery-lead$")
    )
    phone.decide()
    expect(page.get_by_role("region", name="Verdict")).to_contain_text("Trailer it.")
    proof = page.get_by_role("region", name="Verdict").get_by_role("link", name="Battery cables")
    expect(proof.first).to_have_attribute("href", re.compile("rodents.battery-lead$"))
    expect(page.locator('[data-answer="trailer"]')).to_contain_text("Trailer it.")
    expect(page.locator(".caution").first).to_contain_text("State and local law")
    drive = page.get_by_role("region", name="The drive home")
    expect(drive.get_by_role("heading", name="Not checked")).to_be_visible()
    expect(drive.get_by_role("link", name="Fuel leaks", exact=True)).to_be_visible()
    nearby = page.get_by_role("region", name="Check next")
    page.get_by_role("button", name="60 min").tap()
    expect(nearby).to_contain_text("In 60 min:")
    money = page.get_by_role("region", name="Money")
    expect(money).to_contain_text("€2,400")
    expect(page.get_by_role("region", name="What was found")).to_contain_text("Battery cables")


@pytest.mark.new_phone
def test_the_seller_sees_no_money_whatever_is_pressed(phone: Phone) -> None:
    phone.begin(asking_price="2400")
    card = phone.card("rodents.battery-lead")
    card.get_by_role("button", name=re.compile("^Bare")).first.tap()
    expect(card).not_to_have_attribute("data-grade", "open")
    phone.go("kerb")
    page = phone.page
    page.get_by_role("button", name="Show the seller").tap()

    def no_money() -> None:
        # the kerb screen has that heading too: only this button says whose screen it is
        expect(page.get_by_role("button", name="Back to the inspector")).to_be_visible()
        expect(page.get_by_role("heading", name="What was found")).to_be_visible()
        text = page.locator("body").inner_text()
        assert not re.search(r"€|\$|EUR|price|2[,.\s’]?400|Top price|Set aside", text, re.I), text
        assert page.locator("a").count() == 0

    no_money()
    page.go_back()
    no_money()
    phone.reopen()
    page = phone.page
    no_money()
    phone.go("kerb")
    no_money()
    page.get_by_role("button", name="Back to the inspector").tap()
    order = re.findall(r"\d", page.get_by_text("To go back, tap").inner_text())
    for figure in order:
        page.get_by_role("button", name=figure, exact=True).tap()
    expect(page.get_by_role("heading", name="Money")).to_be_visible()


@pytest.mark.new_phone
def test_a_wrong_figure_does_not_open_the_way_back(phone: Phone) -> None:
    phone.begin()
    phone.go("kerb")
    page = phone.page
    page.get_by_role("button", name="Show the seller").tap()
    page.get_by_role("button", name="Back to the inspector").tap()
    order = re.findall(r"\d", page.get_by_text("To go back, tap").inner_text())
    wrong = next(figure for figure in "123456789" if figure != order[0])
    page.get_by_role("button", name=wrong, exact=True).tap()
    expect(page.get_by_role("button", name="Back to the inspector")).to_be_visible()


def test_what_may_have_happened_is_told_with_its_signs_and_the_next_look(phone: Phone) -> None:
    phone.begin(asking_price="2400")
    card = phone.card("accident.water")
    card.get_by_role("button", name=re.compile("^Water line")).first.tap()
    expect(card).not_to_have_attribute("data-grade", "open")
    phone.decide()
    told = phone.page.get_by_role("region", name="What may have happened to it")
    flood = told.locator("details", has_text=re.compile("^Flood: suspected. 1 of"))
    expect(flood).to_have_attribute("data-standing", "suspected")
    expect(flood.get_by_role("heading", name="Speaks for it")).to_be_visible()
    expect(flood.get_by_role("link", name="Flood signs: Water line or silt")).to_be_visible()
    expect(flood.get_by_role("link", name=re.compile("^Look here "))).to_be_visible()
    # what is only not ruled out is one line until somebody asks
    crash = told.locator("details", has_text=re.compile("^Crash damage: can't be ruled out."))
    expect(crash.get_by_role("link", name=re.compile("^Look here "))).not_to_be_visible()
    crash.locator("summary").tap()
    expect(crash.get_by_role("link", name=re.compile("^Look here "))).to_be_visible()
