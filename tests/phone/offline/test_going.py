"""Before somebody goes, with no server to be had: the call, and what was looked up.

The car is invented. What to ask, and that a look-up is good for 30 days, is common practice, no
source; the oracle of each is what was tapped.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from tests.phone.far_away import far_away, look, standing
from tests.phone.phone import Phone, picture


@pytest.fixture(scope="module")
def away(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Phone]:
    """A phone on a kitchen table, far from its server, which is dead."""
    with far_away(browser, tmp_path_factory.mktemp("going")) as phone:
        yield phone


def question(page: Page, name: str) -> Locator:
    return page.locator(f'[data-question="{name}"]')


def of_claims(phone: Phone, field: str) -> list[Any]:
    found = standing(phone, "claims/")
    return sorted(str(v) for put, v in found.items() if put.endswith(f"/{field}"))


def test_the_call_and_the_look_ups_from_the_kitchen_table(away: Phone) -> None:
    phone, page = away, away.page
    phone.begin(make="Tarn")
    phone.go("")
    page.get_by_role("link", name="Before you go").tap()
    expect(page.locator('[data-part="calls"]')).to_contain_text("Nobody called yet")
    look(page, "going", "list")
    page.locator('[data-part="calls"]').tap()

    # an answer a check can tell is a claim, another in its place takes it back
    title = question(page, "title")
    expect(title).to_contain_text("Is the title in your hand right now")
    title.get_by_role("button", name="Yes, and in my name").tap()
    phone.wait_until(lambda: of_claims(phone, "kind") == ["title-in-name"])
    assert of_claims(phone, "who") == ["{'role': 'seller'}"]
    title.get_by_role("button", name="In hand, another name").tap()
    speaks = page.get_by_role("region", name="Speaks against driving there")
    expect(speaks).to_contain_text("Title: In hand, another name")
    phone.wait_until(lambda: of_claims(phone, "kind") == [])
    # several may be true; words go with them
    done = question(page, "done")
    for name in ("Brakes", "Tires", "Timing belt"):
        done.get_by_role("button", name=name).tap()
        expect(done.get_by_role("button", name=name)).to_have_attribute("aria-pressed", "true")
    done.get_by_text("Add their words").tap()
    done.get_by_label("Their words").fill("brakes last spring")
    done.get_by_label("Their words").blur()
    phone.wait_until(lambda: of_claims(phone, "words") == ["brakes last spring"] * 3)
    assert of_claims(phone, "kind") == ["new-brakes", "new-tires", "timing-belt-done"]
    page.get_by_text("Seller ·").first.tap()
    page.get_by_label("Name").fill("Ed Quill")
    page.get_by_label("Name").blur()
    phone.wait_until(lambda: "Ed Quill" in of_claims(phone, "who")[0])
    look(page, "going", "call")
    # what was said outlives the app, and stands with the other claims
    visit = phone.visit
    page = phone.reopen()
    phone.visit = visit
    phone.go("going/calls")
    expect(page.get_by_role("status").filter(has_text="left")).to_have_text("11 questions left.")
    page.get_by_role("link", name="All that is claimed").tap()
    expect(page.locator('[data-claim="new-brakes"]')).to_contain_text("Ed Quill")

    # look-ups: what came of it, when, and its photo
    phone.go("going/lookups")
    lien = page.locator('[data-lookup="lien"]')
    lien.get_by_role("button", name="Bad").tap()
    row = lien.locator(".lookup")
    expect(row).to_have_attribute("data-result", "bad")
    row.locator('input[type="file"]').set_input_files(
        {"name": "lien.jpg", "mimeType": "image/jpeg", "buffer": picture(3)}
    )
    expect(row.locator(".photo img")).to_be_visible()
    row.get_by_text("Words, date, change").tap()
    row.get_by_label("Looked up on").fill("2025-01-02")
    expect(row).to_contain_text("look again")
    look(page, "going", "lookups")
    phone.wait_for_judge()
    phone.go("kerb")
    expect(page.locator("main")).to_contain_text("Lien record: the look-up was bad.")
    look(page, "going", "decision")
    # looked up again: the later stands, and the first is kept
    phone.go("going/lookups")
    lien.get_by_role("button", name="Good").tap()
    expect(lien.locator(".lookup")).to_have_count(2)
    expect(lien).not_to_contain_text("look again")
    phone.wait_for_judge()
    phone.go("kerb")
    expect(page.locator("main")).not_to_contain_text("the look-up was bad")
    phone.go("going")
    expect(page.locator('[data-part="lookups"]')).to_have_text("Look-ups1 of 5 looked up")


def test_what_to_load_and_how_it_comes_home(away: Phone) -> None:
    phone, page = away, away.page
    page.goto(f"{phone.origin}/app/#/")
    phone.begin(make="Tarn")
    phone.wait_for_judge()
    phone.go("going/calls")
    question(page, "sat").get_by_role("button", name="1 to 5 years ago").tap()
    phone.wait_until(lambda: any("/sat" in put for put in standing(phone, "calls/")))

    # the list knows what was said, and what the open checks are done with
    phone.go("going/load")
    wheels = page.locator('[data-load="wheels"]')
    expect(wheels).to_contain_text("By what was said on the phone.")
    wheels.get_by_label("Bolt pattern").fill("5 x 4.5 in")
    wheels.get_by_label("Bolt pattern").blur()
    phone.wait_until(lambda: standing(phone, "car/bolt_pattern") != {})
    page.locator('[data-load="jump-pack"]').get_by_role("button", name="Packed").tap()
    expect(page.get_by_role("main")).to_contain_text("1 of ")
    light = page.locator('[data-load="flashlight"]')
    light.get_by_role("button", name="Left at home").tap()
    expect(light).to_contain_text("can't be done without it")
    expect(page.locator('[data-load="straps"]')).to_have_count(0)
    look(page, "going", "load")
    # the walk says so beside each check that needs it
    light.get_by_text("can't be done without it").tap()
    light.get_by_role("link").first.tap()
    at_home = page.get_by_text("Left at home: flashlight")
    expect(page.locator("article.card").filter(has=at_home)).to_have_count(1)
    expect(page.locator("article.item-row").filter(has=at_home).first).to_be_visible()
    look(page, "going", "left-at-home")

    # a plan never fits by ignorance
    phone.go("going/haul")
    plan = page.locator(".haul-plan")
    expect(plan).to_have_attribute("data-answer", "missing")
    page.get_by_role("group", name="How it comes home").get_by_role(
        "button", name="On our trailer"
    ).tap()
    for name in ("Does it roll?", "Does it steer?", "Does it stop?", "Has the trailer brakes?"):
        page.get_by_role("group", name=name).get_by_role("button", name="Yes").tap()
    page.get_by_role("group", name="Insured").get_by_role("button", name="Yes").tap()
    field = page.get_by_label("Car, lb")
    field.fill("heavy")
    field.blur()
    expect(page.locator(".wrong").filter(has_text="heavy is no weight")).to_be_visible()
    for label, typed in (
        ("Car, lb", "3,400"), ("What else rides on the trailer", "200"), ("Trailer, empty", "2000"),
        ("Trailer's GVWR", "7000"), ("Truck's tow rating", "5000"), ("Hitch and ball", "7000"),
        ("Tongue weight, as weighed", "700"), ("Hitch's tongue rating", "900"),
        ("Working load limit", "3333"), ("Straps or chains", "4"),
    ):  # fmt: skip
        page.get_by_label(label).fill(typed)
        page.get_by_label(label).blur()
    expect(plan).to_have_attribute("data-answer", "over")
    expect(plan).to_contain_text("Towed 5,600 lb, the truck is rated for 5,000 lb: 600 lb too much")
    look(page, "going", "haul")
    page.get_by_label("Truck's tow rating").fill("6000")
    page.get_by_label("Truck's tow rating").blur()
    expect(plan).to_have_attribute("data-answer", "fine")
    phone.go("going/load")
    expect(page.locator('[data-load="straps"]')).to_contain_text("By the haul plan.")
