"""Locking is one tap: what is open is said in the lock, and keeps nobody from it."""

from __future__ import annotations

import hashlib
import io
import json
import re
from typing import Any

import pytest
import zxingcpp
from PIL import Image
from playwright.sync_api import expect

from bradawl.judge import unsigned_text
from tests.phone.phone import Phone


def _seals(phone: Phone) -> list[Any]:
    return [event["value"] for event in phone.events() if event["put"].startswith("seal/")]


@pytest.mark.new_phone
def test_one_tap_locks_with_the_name_that_the_phone_knows(phone: Phone) -> None:
    phone.begin(make="Tarn")
    phone.go("seal")
    page = phone.page
    expect(page).to_have_title("Lock it · Bradawl")
    phone.wait_for_judge()  # it says what applies
    # the first time on a phone it asks for a name, and for nothing else
    page.get_by_role("button", name="Lock it", exact=True).tap()
    name = page.get_by_label("Your name")
    expect(name).to_be_focused()
    expect(name).to_have_accessible_description("Enter your name once. This phone remembers it.")
    assert _seals(phone) == []
    name.fill("Ada Example")
    page.get_by_role("button", name="Lock it", exact=True).tap()
    expect(page.locator(".sealed").first).to_contain_text("Locked by Ada Example")
    main = page.locator("footer .main")
    expect(main).to_have_text("Locked. Go to Decide")
    # what stands in the record later is another version, and so is the lock
    phone.card("accident.water").get_by_role("button", name=re.compile("^Dry")).first.tap()
    expect(phone.status()).to_contain_text("Dry")
    phone.go("")
    expect(main).to_have_text("Lock again (1 change)")
    main.tap()
    expect(page.locator("main")).to_contain_text("with this phone's key, as Ada Example")
    expect(page.get_by_label("Your name")).not_to_be_visible()
    open_now = page.get_by_role("region", name="The lock says what's open")
    expect(open_now).to_contain_text(re.compile(r"^.*\d+ checks have no answer", re.S))
    count = int(re.findall(r"(\d+) checks have", open_now.inner_text())[0])
    page.get_by_role("button", name="Lock it again").tap()
    expect(main).to_have_text("Locked. Go to Decide")
    first, second = _seals(phone)
    assert first["strokes"] == second["strokes"] == []
    assert first["open"] == {"unchecked": count + 1, "disputed": 0, "unsorted": 0}
    assert second["open"] == {"unchecked": count, "disputed": 0, "unsorted": 0}
    # another car knows the name; its lock is one tap away from Decide and from the list
    page.goto(f"{phone.origin}/app/#/")
    phone.begin(make="Corrie")
    phone.go("kerb")
    page.get_by_role("link", name="Lock it").tap()
    page.get_by_role("button", name="Lock it", exact=True).tap()
    expect(page.locator(".sealed").first).to_contain_text("Locked by Ada Example")
    phone.go("manage")
    expect(page.get_by_role("link", name="Lock it")).to_be_visible()


def test_a_finger_signs_where_somebody_wants_it_and_the_receipt_reads_what_was_locked(
    phone: Phone,
) -> None:
    phone.begin(make="Tarn")
    phone.sign("Ada Example", "A yard")
    (seal,) = _seals(phone)
    assert len(seal["strokes"]) == 1
    assert "A yard" not in json.dumps(seal)
    _holds_a_receipt(phone, seal)


def _holds_a_receipt(phone: Phone, seal: Any) -> None:
    """A reader of codes that is not ours reads the digest of what the phone signed."""
    phone.page.get_by_text("Receipt for the seller or buyer").tap()
    code = phone.page.locator(".receipt code")
    digest = hashlib.sha256(unsigned_text(seal).encode()).hexdigest().upper()
    expect(code).to_have_attribute("data-digest", digest)
    picture = Image.open(io.BytesIO(phone.page.locator(".receipt canvas").screenshot()))
    (read,) = zxingcpp.read_barcodes(picture)
    assert read.text == f"BRADAWL SEAL {digest}"


def test_what_was_not_reached_takes_one_reason_for_all_or_one_for_each_part(phone: Phone) -> None:
    phone.begin(make="Tarn")
    phone.go("seal")
    page = phone.page
    phone.wait_for_judge()
    expect(page.get_by_role("link", name="Keep checking")).to_be_visible()
    page.locator("summary", has_text="Why were these not reached?").tap()
    every = page.get_by_role("group", name="Why were these not reached?")
    every.get_by_role("button", name="No time left").tap()
    expect(every.get_by_role("button", name="No time left")).to_have_attribute(
        "aria-pressed", "true"
    )
    page.get_by_text("A reason for each part").tap()
    under = page.get_by_role("group", name=re.compile(r"^Underneath: \d+ not reached"))
    under.get_by_role("button", name="No tools or lift").tap()
    expect(under.get_by_role("button", name="No tools or lift")).to_have_attribute(
        "aria-pressed", "true"
    )
    given = [event for event in phone.events() if event["put"].startswith("about/left_")]
    last = {event["put"]: event["value"] for event in given}
    assert last["about/left_underneath"] == "tools"
    assert {value for put, value in last.items() if put != "about/left_underneath"} == {"time"}
    # not one entry for each of more than a hundred checks
    assert len(given) < 20
