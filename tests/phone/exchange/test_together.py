"""Two people walk one car with a phone each: one without a signal, a conflict settled, signed."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Browser, Locator, expect

from tests.browsing import place_of
from tests.phone.phone import Phone, picture
from tests.phone.server import Server

FENDERS = "accident.inner-wings"


def say_name(phone: Phone, name: str) -> None:
    """Asked once, at the head, as a second phone has the visit."""
    head = phone.page.locator(".news")
    expect(head).to_have_text("Two phones here. Your name?")
    head.tap()
    field = phone.page.get_by_label("Your name")
    field.fill(name)
    field.blur()
    expect(phone.status()).to_have_text(f"{name}: saved.")
    phone.wait_for_sync("server")


def taken(phone: Phone, stage: str) -> Locator:
    return phone.page.locator(f'[data-stage="{stage}"] + .take')


def answer(phone: Phone, item: str, grade: str) -> Locator:
    card = phone.card(item)
    card.get_by_role("button", name=grade, exact=True).tap()
    expect(card).to_have_attribute("data-grade", re.compile("minor|dangerous"))
    return card


@pytest.mark.new_phone  # it is given a name
def test_two_phones_walk_one_car(browser: Browser, server: Server, phone: Phone) -> None:
    ana, ben = phone, Phone(browser, server.origin)
    ana.begin(make="Tarn")
    ana.wait_for_sync("server")
    ana.go("")
    # with one phone nothing of this shows
    expect(ana.page.locator("[data-stage]").first).to_be_visible()
    assert ana.page.locator(".news, .take").count() == 0

    ben.open()
    ben.wait_for_sync("server")
    ben.wait_for_worker()
    ben.visit = ana.visit
    ben.go("")
    say_name(ben, "Ben")
    ana.card(FENDERS).get_by_role("button", name="OK", exact=True).tap()  # sends, and fetches
    say_name(ana, "Ana")

    # a stage is taken by one tap; both say whose it is, and only its owner is led there
    ana.go("")
    taken(ana, "underneath").tap()
    expect(taken(ana, "underneath")).to_contain_text("You: 0 of")
    expect(ana.page.locator(".foot .main")).to_have_attribute("href", re.compile("/underneath/"))
    ben.go("")
    expect(taken(ben, "underneath")).to_contain_text("Ana: 0 of")
    expect(taken(ben, "underneath")).to_contain_text("Take over")
    taken(ben, "arrival").tap()
    expect(ben.page.locator(".foot .main")).to_have_attribute("href", re.compile("/arrival/"))
    taken(ben, "arrival").tap()
    expect(taken(ben, "arrival")).to_have_text("I take this")
    ben.wait_for_sync("server")

    # Ben has no signal: he answers three checks, one of them as Ana does not
    ben.context.set_offline(True)
    ben.add_photo(answer(ben, FENDERS, "Unsafe"), picture(3))
    ben.go("area/tyres")
    for _ in range(2):
        left = ben.page.locator(".item-ok").count()
        ben.page.locator(".item-ok").first.tap()
        expect(ben.page.locator(".item-ok")).to_have_count(left - 1)
    card = answer(ana, FENDERS, "Minor")
    ana.wait_for_sync("server")
    expect(ana.page.locator(".news")).to_have_text("With Ben")
    card.get_by_role("button", name="Minor", exact=True).scroll_into_view_if_needed()
    under_thumb = place_of(card.get_by_role("button", name="Minor", exact=True))

    # all of it comes at once, in one line, and moves nothing
    ben.context.set_offline(False)
    ben.page.reload()
    ben.wait_for_sync("server")
    expect(ana.page.locator(".news")).to_have_text("3 new from Ben, 1 unsafe")
    assert place_of(card.get_by_role("button", name="Minor", exact=True)) == under_thumb
    ana.page.locator(".news").tap()
    came = ana.page.locator("[data-came]")
    expect(came.first).to_have_attribute("data-came", FENDERS)
    expect(came.first).to_contain_text(re.compile(r"Unsafe · Ben, \d+:\d\d"))
    expect(ana.page.locator(".news")).to_have_text("With Ben")

    # before signing it says what is not settled
    ana.go("seal")
    unsettled = ana.page.locator("[data-unsettled]")
    expect(unsettled).to_contain_text("1 conflict")
    expect(unsettled).to_contain_text("Underneath: You took it, 0 of")
    expect(unsettled).to_contain_text("Last from Ben:")

    unsettled.get_by_role("link", name="Look at both").tap()
    conflict = ana.page.locator("[data-conflict]")
    expect(conflict.locator('[data-side="theirs"]')).to_contain_text("Unsafe")
    expect(conflict.locator('[data-side="theirs"] img')).to_be_visible()
    expect(conflict.locator('[data-side="mine"]')).to_contain_text(
        re.compile(r"Minor\s*You, \d+:\d\d")
    )
    conflict.get_by_role("button", name="Keep Ben’s").tap()
    expect(conflict).to_have_count(0)
    ana.wait_for_sync("server")
    said = re.compile(r" settled this at \d+:\d\d: Rating, Unsafe")
    expect(ana.card(FENDERS).locator("[data-settled]")).to_have_text(
        re.compile("^You" + said.pattern)
    )
    ben.page.reload()
    expect(ben.card(FENDERS).locator("[data-settled]")).to_have_text(
        re.compile("^Ana" + said.pattern)
    )

    ana.sign("Ana", "A yard")
    assert ana.page.locator(".take").count() == 0  # a signed visit is nobody's to walk
    ana.wait_for_sync("server")
    desk = ana.context.request.get(f"{server.origin}/desk/visits/{ana.visit}").text()
    assert "Who walked what" in desk
    assert "1 conflict settled" in desk
    assert re.search(r"Ben[^<]*: 2", desk)
    ben.throw_away()
