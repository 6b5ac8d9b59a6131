"""What no check asks for is added at the car in a person's own words; the server is dead."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, Locator, expect

from tests.phone.far_away import far_away
from tests.phone.phone import Phone, picture

WORDS = "Jack point gave way under the sill"


@pytest.fixture(scope="module")
def away(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Phone]:
    """A phone at a car, far from its server, which is dead."""
    with far_away(browser, tmp_path_factory.mktemp("own")) as phone:
        yield phone


@pytest.fixture
def phone(away: Phone) -> Phone:
    away.reopen()
    away.put_down(sent=False)  # its server is dead
    away.begin(make="Tarn")
    away.taps = 0
    return away


def standing(phone: Phone) -> dict[str, Any]:
    """What stands of findings in somebody's own words, by the path below their item."""
    last = {event["put"]: event["value"] for event in phone.events()}
    found = {put: value for put, value in last.items() if ".own-" in put and value is not None}
    assert len({put.split("/")[1] for put in found}) <= 1
    return {put.split("/", 2)[2]: value for put, value in found.items()}


def grade(phone: Phone, name: str) -> Locator:
    group = phone.page.get_by_role("group", name="How bad is it?")
    return group.get_by_role("button", name=name, exact=True)


def write(phone: Phone, words: str) -> None:
    field = phone.page.get_by_label("What is it?")
    field.fill(words)
    field.blur()
    expect(phone.status()).to_contain_text(words[:20])


def add(phone: Phone, words: str = WORDS, name: str = "Unsafe") -> None:
    phone.tap(phone.page.get_by_role("link", name="Add what wasn't asked"))
    write(phone, words)
    phone.tap(grade(phone, name))
    expect(grade(phone, name)).to_have_attribute("aria-pressed", "true")


def row(phone: Phone) -> Locator:
    return phone.page.get_by_role("region", name="Also found").locator("[data-own]")


def test_two_taps_and_the_words_make_a_finding_that_a_restart_keeps(phone: Phone) -> None:
    phone.go("area/brakes")
    add(phone)
    assert phone.taps <= 3
    assert standing(phone) == {"text": WORDS, "grade": {"grade": "dangerous"}}
    phone.tap(phone.page.get_by_role("link", name="Done"))
    expect(row(phone)).to_contain_text(WORDS)
    expect(row(phone)).to_contain_text("Unsafe")
    visit = phone.visit
    phone.reopen()
    phone.visit = visit
    phone.go("area/brakes")
    expect(row(phone)).to_contain_text(WORDS)


def test_where_it_is_can_be_said_first_or_put_right_later(phone: Phone) -> None:
    phone.go("own")
    place = phone.page.get_by_role("group", name="Where?")
    phone.tap(place.get_by_role("button", name="Brakes", exact=True))
    write(phone, WORDS)
    phone.add_photo(phone.page.locator(".own-card"), picture(3))
    expect(phone.page.locator(".photo img")).to_have_count(1)
    before = standing(phone)
    phone.page.get_by_text("Belongs to: Brakes").tap()
    phone.tap(place.get_by_role("button", name="Body and hardware", exact=True))
    expect(phone.status()).to_contain_text("Moved to Body and hardware")
    assert standing(phone) == before
    expect(phone.page.get_by_label("What is it?")).to_have_value(WORDS)
    expect(phone.page).to_have_url(re.compile(r"own/body\.own-"))


def test_it_is_changed_taken_back_and_the_taking_back_undone(phone: Phone) -> None:
    phone.go("area/brakes")
    add(phone, name="Minor")
    phone.tap(grade(phone, "Needs fixing"))
    expect(phone.status()).to_contain_text("Needs fixing")
    phone.tap(phone.page.get_by_role("button", name="Take it back"))
    expect(phone.status()).to_contain_text("Taken back")
    expect(row(phone)).to_have_count(0)
    assert standing(phone) == {}
    phone.tap(phone.page.get_by_role("button", name="Undo"))
    expect(row(phone)).to_contain_text("Needs fixing")
    assert standing(phone) == {"text": WORDS, "grade": {"grade": "major"}}


def test_a_cost_is_one_figure_or_a_range_and_what_is_none_says_so(phone: Phone) -> None:
    phone.go("area/brakes")
    add(phone)
    cost = phone.page.get_by_label("What would the repair cost?")
    cost.fill("a lot")
    cost.blur()
    expect(phone.page.locator(".wrong")).to_contain_text("Enter an amount")
    cost.fill("$1,200")
    cost.blur()
    expect(phone.status()).to_contain_text("$1,200")
    assert standing(phone)["cost"] == [1200, 1200, 1200]
    phone.page.get_by_text("Not sure? Give a range").tap()
    low = phone.page.get_by_label("At least")
    low.fill("800")
    low.blur()
    expect(phone.status()).to_contain_text("$800")
    assert standing(phone)["cost"] == [800, 1200, 1200]
    high = phone.page.get_by_label("At most")
    high.fill("900")
    high.blur()
    expect(phone.page.locator(".wrong")).to_contain_text("lowest")
    assert standing(phone)["cost"] == [800, 1200, 1200]


@pytest.mark.parametrize(
    "words", ["<img src=x onerror=alert(1)>", "\u202eright to left", "x" * 3000, "{ $words }"]
)
def test_any_words_stand_as_they_were_typed(phone: Phone, words: str) -> None:
    phone.go("area/brakes")
    add(phone, words)
    phone.tap(phone.page.get_by_role("link", name="Done"))
    expect(row(phone).locator(".own-words")).to_have_text(words)
    wide = phone.page.evaluate("document.documentElement.scrollWidth - innerWidth")
    assert wide <= 0


def test_it_decides_with_the_rest_and_stands_before_the_signature(phone: Phone) -> None:
    phone.go("area/brakes")
    add(phone)
    phone.go("kerb")
    reason = phone.page.get_by_role("link", name=re.compile(f"^{WORDS}: Unsafe"))
    expect(reason.first).to_be_visible()
    expect(phone.page.get_by_role("region", name="What was found")).to_contain_text(WORDS)
    phone.tap(reason.first)
    expect(phone.page.get_by_label("What is it?")).to_have_value(WORDS)
    phone.go("seal")
    expect(phone.page.get_by_role("link", name=re.compile(WORDS))).to_be_visible()
