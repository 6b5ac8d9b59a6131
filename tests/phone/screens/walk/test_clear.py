"""Every answer can be taken back to open: later, after a start anew, and for every reader alike."""

from __future__ import annotations

import json
from typing import Any

import pytest
from playwright.sync_api import Locator, expect

from bradawl.judge import fold
from bradawl.judge.assessment import assess
from tests.phone.phone import Phone, picture

TODAY = "2026-12-01"


def choose(card: Locator) -> None:
    card.get_by_role("button", name="Rusted through", exact=True).tap()


def rate(card: Locator) -> None:
    card.get_by_role("button", name="Minor", exact=True).tap()


def measure(card: Locator) -> None:
    card.get_by_role("textbox").first.fill("2,5")


def leave(card: Locator) -> None:
    card.get_by_role("button", name="Not checked", exact=True).tap()
    card.locator(".chips .choice").last.tap()


#: An item by how it is answered.
ANSWERED = {
    "rust.arches": choose,
    "accident.inner-wings": rate,
    "brakes.front-pads": measure,
    "brakes.hoses": leave,
}


def desk_record(phone: Phone) -> dict[str, Any]:
    address = f"{phone.origin}/desk/visits/{phone.visit}/record.json"
    found: dict[str, Any] = phone.context.request.get(address).json()
    return found


@pytest.mark.new_phone
def test_every_answer_is_cleared_to_open_and_phone_server_and_desk_agree(phone: Phone) -> None:
    phone.begin(make="Tarn")
    for item, answer in ANSWERED.items():
        card = phone.card(item)
        answer(card)
        expect(card).not_to_have_attribute("data-grade", "open")
    arches = phone.card("rust.arches")
    phone.add_photo(arches, picture(7))
    expect(arches.locator(".photo img")).to_have_count(1)
    arches.get_by_role("button", name="Note, photo, how").tap()
    arches.get_by_label("Note", exact=True).fill("Both sides")
    expect(phone.status()).to_contain_text("Both sides")

    # the bar with Undo belongs to the page that was; an app that starts anew has none
    phone.reopen()
    expect(phone.page.locator(".notice button")).to_have_count(0)
    for item in ANSWERED:
        card = phone.card(item)
        card.locator("[data-clear]").tap()
        expect(phone.status()).to_contain_text("cleared")
        expect(card).to_have_attribute("data-grade", "open")
        expect(card.locator("[data-clear]")).to_have_count(0)
        expect(card.locator('.answers [aria-pressed="true"]')).to_have_count(0)
    # what was seen and said stays
    expect(phone.card("rust.arches").locator(".photo img")).to_have_count(1)
    expect(phone.page.get_by_label("Note", exact=True)).to_have_value("Both sides")

    phone.reopen()
    for item in ANSWERED:
        expect(phone.card(item)).to_have_attribute("data-grade", "open")
    phone.wait_for_judge()
    phone.wait_for_sync("server")
    own = {row["visit"]: row["assessment"] for row in phone.rows("assessments")}[phone.visit]
    record = desk_record(phone)
    events = [{**event, "value": json.loads(event["value"])} for event in record["events"]]
    rules = record["checklist"]["rules"]
    here = assess({"visit": phone.visit, "cells": fold(events)}, rules, TODAY)
    for item in ANSWERED:
        for judged in (own["items"][item], here["items"][item]):
            assert (judged["state"], judged["grade"]) == ("open", None), item
    page = phone.context.request.get(f"{phone.origin}/desk/visits/{phone.visit}").text()
    unseen = page[page.index('id="unseen"') :]
    titles = {item["id"]: item["title"] for item in record["checklist"]["items"]}
    for item in ANSWERED:
        assert titles[item] in unseen


def test_clearing_is_undone_as_a_whole(phone: Phone) -> None:
    phone.begin()
    card = phone.card("accident.inner-wings")
    rate(card)
    expect(card).to_have_attribute("data-grade", "minor")
    card.locator(".chips .choice").first.tap()
    before = {event["put"]: event["value"] for event in phone.events() if "items/" in event["put"]}
    assert set(before) == {"items/accident.inner-wings/grade", "items/accident.inner-wings/why"}
    card.locator("[data-clear]").tap()
    expect(card).to_have_attribute("data-grade", "open")
    phone.page.locator(".notice").get_by_role("button", name="Undo").tap()
    expect(card).to_have_attribute("data-grade", "minor")
    after = {event["put"]: event["value"] for event in phone.events() if "items/" in event["put"]}
    assert after == before


def test_a_check_that_only_its_answer_had_asked_stays_under_the_thumb(phone: Phone) -> None:
    """Thorough checks are no part of a usual visit until they have an answer."""
    phone.begin()
    phone.wait_for_judge()
    phone.go("stage/outside")
    more = phone.page.locator("[data-more]")
    more.locator("summary").tap()
    link = more.get_by_role("link").first
    item = str(link.get_attribute("href")).rpartition("/")[2]
    link.tap()
    card = phone.page.locator(f'[data-item="{item}"]')
    card.locator(".answers .choice").last.tap()
    expect(card).not_to_have_attribute("data-grade", "open")
    phone.wait_for_judge()
    card.locator("[data-clear]").tap()
    expect(card).to_have_attribute("data-grade", "open")
    phone.wait_for_judge()
    expect(card).to_be_visible()
