"""A scripted thumb counts: a clean visit, and a fault with everything that belongs to it."""

from __future__ import annotations

import json
import re
from pathlib import Path

from playwright.sync_api import expect

from tests.amount import amount
from tests.browsing import place_of
from tests.phone.phone import Phone

FIGURES = Path(__file__).parents[4] / "build" / "phone" / "taps.json"


def note(name: str, figure: object) -> None:
    FIGURES.parent.mkdir(parents=True, exist_ok=True)
    known = json.loads(FIGURES.read_text()) if FIGURES.exists() else {}
    FIGURES.write_text(json.dumps({**known, name: figure}, indent=1))


def test_a_clean_visit_takes_no_more_taps_than_paper_and_no_typing(phone: Phone) -> None:
    """Issue: at most 150 taps for 120 items. Every item gets a tap of its own here; in `make test`
    those of the first stages, in `make proof` all."""
    most = amount(1_000, short=40)
    phone.begin()
    page = phone.page
    phone.tap(page.get_by_role("link", name="Start the walk-around"))
    expect(page.locator("[data-stage]").first).to_be_visible()
    phone.wait_for_judge()  # it says what applies
    phone.tap(page.locator("footer .main"))
    expect(page.locator("[data-item]").first).to_be_visible()
    items = 0
    while "/seal" not in page.url and items < most:
        open_cards = page.locator('[data-item][data-grade="open"]')
        for _ in range(open_cards.count()):
            card = open_cards.first
            item = card.get_attribute("data-item")
            if card.locator(".item-name").count() and not card.locator(".item-ok").count():
                # only paper answers it: the card says what there is to show
                phone.tap(card.locator(".item-name"))
            sound = card.locator(".item-ok, .answers .choice-none")
            phone.tap(sound.first if sound.count() else card.locator(".answers .choice").first)
            expect(page.locator(f'[data-item="{item}"]')).not_to_have_attribute(
                "data-grade", "open"
            )
            items += 1
        left = page.url
        phone.tap(page.locator("footer .main"))
        phone.wait_until(lambda left=left: page.url != left)
        phone.wait_until_still()
    taps_for_120 = round(phone.taps * 120 / items)
    note("clean_visit", {"items": items, "taps": phone.taps, "taps_for_120_items": taps_for_120})
    assert items >= min(100, most)
    assert taps_for_120 <= 150


def test_the_rest_in_order_is_one_tap_says_so_and_can_be_undone(phone: Phone) -> None:
    phone.begin()
    phone.go("stage/round")
    page = phone.page
    phone.wait_for_judge()
    phone.whole_page()
    button = page.get_by_role("button", name="Mark the other")
    count = int(re.findall(r"\d+", button.inner_text())[0])
    before = page.locator('[data-item][data-grade="none"]').count()
    button.tap()
    expect(phone.status()).to_contain_text(f"{count} checks marked OK.")
    expect(page.locator('[data-item][data-grade="none"]')).to_have_count(before + count)
    # as a code, never as a sentence in the language of whoever tapped
    rest = [event["value"] for event in phone.events() if event["put"].endswith("/grade")]
    assert rest == [{"grade": "none", "together": True}] * count
    assert not [event for event in phone.events() if event["put"].endswith("/why")]
    said = "Inspector's call: OK (marked OK together with the rest)."
    marked = next(event["put"].split("/")[1] for event in phone.events() if "grade" in event["put"])
    page.locator(f'[data-item="{marked}"] .item-name').tap()
    expect(page.locator(f'[data-item="{marked}"]').get_by_text(said)).to_be_visible()
    page.get_by_role("button", name="Undo").tap()
    expect(page.locator('[data-item][data-grade="none"]')).to_have_count(before)


def test_what_the_drive_home_depends_on_is_never_in_order_by_the_rest(phone: Phone) -> None:
    phone.begin()
    phone.go("stage/round")
    page = phone.page
    phone.wait_for_judge()
    phone.whole_page()
    rest = page.get_by_role("button", name="Mark the other")
    rest.tap()
    expect(rest).to_have_count(0)
    drive = {
        item["id"]
        for item in page.evaluate(
            "fetch('/api/v1/offline').then((a) => a.json()).then(({ checklists }) =>"
            " fetch(checklists)).then((a) => a.json()).then(({ items }) => items)"
        )
        if item["drive"] == "essential"
    }
    recorded = {event["put"].split("/")[1] for event in phone.events() if "items/" in event["put"]}
    assert drive
    assert recorded
    assert recorded.isdisjoint(drive)


def test_a_fault_with_photo_and_note_takes_five_taps_and_the_reading(phone: Phone) -> None:
    phone.begin()
    card = phone.card("rust.arches")
    phone.taps = 0
    phone.tap(card.get_by_role("button", name="Rusted through", exact=True))
    phone.tap(card.get_by_label("Rusted share of the lip, Front left"))
    phone.page.keyboard.type("30")
    phone.tap(card.get_by_role("button", name="hole behind the lip"))
    phone.tap(card.get_by_role("button", name="Photo", exact=True))
    phone.tap(card.get_by_role("button", name="Take it"))
    expect(card.locator(".photo img")).to_have_count(1)
    expect(card.get_by_label("Note")).to_have_value("hole behind the lip")
    note("fault", {"taps": phone.taps, "of which into the reading": 1})
    assert phone.taps <= 5
    puts = {event["put"].removeprefix("items/rust.arches/") for event in phone.events()}
    assert {"choice", "note", "readings/extent/front-left"} <= puts


def test_every_tap_can_be_undone(phone: Phone) -> None:
    phone.begin()
    card = phone.card("rust.arches")
    button = card.get_by_role("button", name="Rusted through", exact=True)
    button.tap()
    expect(button).to_have_attribute("aria-pressed", "true")
    card.get_by_role("button", name="Surface rust").tap()
    expect(button).to_have_attribute("aria-pressed", "false")
    phone.page.get_by_role("button", name="Undo").tap()
    expect(button).to_have_attribute("aria-pressed", "true")
    expect(phone.status()).to_have_text("Undone.")


def test_a_wet_finger_that_taps_twice_answers_once(phone: Phone) -> None:
    phone.begin()
    card = phone.card("rust.arches")
    button = card.get_by_role("button", name="Rusted through", exact=True)
    button.evaluate("(one) => { one.click(); one.click(); one.click(); }")
    expect(button).to_have_attribute("aria-pressed", "true")
    assert [event["put"] for event in phone.events()].count("items/rust.arches/choice") == 1


def test_the_left_hand_finds_everything_mirrored(phone: Phone) -> None:
    phone.begin()
    phone.page.goto(f"{phone.origin}/app/#/storage")
    phone.page.get_by_role("button", name="Left", exact=True).tap()
    card = phone.card("bushings.rear-axle")
    sound = card.locator(".choice").first
    expect(sound).to_be_visible()
    expect(phone.page.locator("html")).to_have_attribute("data-hand", "left")
    phone.go("map")
    buttons = [place_of(one) for one in phone.page.locator(".foot-row > *").all()]
    assert buttons[0] is not None
    assert buttons[1] is not None
    assert buttons[1]["x"] < buttons[0]["x"]


def test_a_check_that_the_visit_does_not_ask_for_is_one_tap_away_and_counts(phone: Phone) -> None:
    phone.begin()
    phone.go("stage/hot")
    page = phone.page
    phone.wait_for_judge()
    expect(page.locator('[data-item="electrical.starter"]')).to_have_count(0)
    more = page.locator("details[data-more]")
    more.locator("summary").tap()
    more.get_by_role("link", name="Starter", exact=True).tap()
    card = page.locator('[data-item="electrical.starter"]')
    expect(card).to_be_visible()
    expect(more.get_by_role("link", name="Starter", exact=True)).to_have_count(0)
    card.get_by_role("button", name=re.compile("^Starter works")).first.tap()
    expect(card).not_to_have_attribute("data-grade", "open")
    phone.go("")
    phone.go("stage/hot")
    # an answer keeps it: it is among the checks of the visit now
    expect(card).to_be_visible()
