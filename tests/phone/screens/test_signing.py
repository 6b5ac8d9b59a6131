"""Signing: nothing is signed by chance, and what is wrong is said until it is put right."""

from __future__ import annotations

import hashlib
import io
import json
import re

import zxingcpp
from PIL import Image
from playwright.sync_api import expect

from bradawl.judge import unsigned_text
from tests.phone.phone import Phone


def test_signing_with_items_open_needs_a_choice_of_its_own(phone: Phone) -> None:
    phone.begin(make="Tarn")
    phone.card("accident.water").get_by_role("button", name=re.compile("^Dry")).first.tap()
    phone.wait_for_sync("server")
    phone.go("seal")
    page = phone.page
    phone.wait_for_judge()  # it says what applies
    region = page.get_by_role("region", name=re.compile(r"^\d+ checks have no answer"))
    count = int(re.findall(r"\d+", region.locator("h2").inner_text())[0])
    assert count > 100
    expect(region).to_contain_text("1 of ")
    expect(region).to_contain_text("The report lists them as not checked")
    page.get_by_label("Your name").fill("Ada Example")
    page.get_by_label("Place").fill("A yard")
    phone.draw_signature()
    page.get_by_role("button", name="Sign and lock").tap()
    summary = page.locator(".wrong-summary")
    expect(summary).to_be_focused()
    expect(summary).to_contain_text("Keep checking, or choose to sign")
    assert not [event for event in phone.events() if event["put"].startswith("seal/")]
    page.get_by_role("button", name=f"Sign with {count} not checked").tap()
    expect(summary).to_have_count(0)
    page.get_by_role("button", name="Sign and lock").tap()
    expect(page.locator(".sealed").first).to_contain_text("Ada Example")
    _holds_a_receipt(phone)


def _holds_a_receipt(phone: Phone) -> None:
    """A reader of codes that is not ours reads the digest of what the phone signed."""
    phone.page.get_by_text("Receipt for the seller or buyer").tap()
    code = phone.page.locator(".receipt code")
    (seal,) = [event for event in phone.events() if event["put"].startswith("seal/")]
    value = json.loads(seal["value"]) if isinstance(seal["value"], str) else seal["value"]
    digest = hashlib.sha256(unsigned_text(value).encode()).hexdigest().upper()
    expect(code).to_have_attribute("data-digest", digest)
    picture = Image.open(io.BytesIO(phone.page.locator(".receipt canvas").screenshot()))
    (read,) = zxingcpp.read_barcodes(picture)
    assert read.text == f"BRADAWL SEAL {digest}"


def test_the_way_back_to_what_is_open_is_one_tap_from_the_signature(phone: Phone) -> None:
    phone.begin(make="Tarn")
    phone.go("seal")
    phone.page.get_by_role("link", name="Keep checking").tap()
    expect(phone.page.locator('[data-item][data-grade="open"]').first).to_be_visible()


def test_the_word_error_leaves_title_and_fields_as_each_is_put_right(phone: Phone) -> None:
    phone.begin()
    phone.go("seal")
    page = phone.page
    expect(page).to_have_title("Review and sign · Bradawl")
    phone.wait_for_judge()  # what is open is accepted by its number
    phone.accept_what_is_open()
    page.get_by_role("button", name="Sign and lock").tap()
    expect(page).to_have_title("Error: not signed yet · Bradawl")
    name = page.get_by_label("Your name")
    expect(name).to_have_attribute("aria-invalid", "true")
    expect(name).to_have_accessible_description("Enter your name.")
    expect(page.locator(".wrong-summary li")).to_have_count(3)
    name.fill("Ada Example")
    expect(page.locator(".wrong-summary li")).to_have_count(2)
    expect(name).not_to_have_attribute("aria-invalid", "true")
    page.get_by_label("Place").fill("A yard")
    phone.draw_signature()
    expect(page.locator(".wrong-summary")).to_have_count(0)
    expect(page).to_have_title("Review and sign · Bradawl")


def test_a_signed_visit_says_so_and_asks_for_no_signature_until_something_is_added(
    phone: Phone,
) -> None:
    phone.begin(make="Tarn")
    phone.sign("Ada Example", "A yard")
    main = phone.page.locator("footer .main")
    expect(main).to_have_text("Signed. Go to Decide")
    phone.card("accident.water").get_by_role("button", name=re.compile("^Dry")).first.tap()
    expect(phone.status()).to_contain_text("Dry")
    phone.go("")
    expect(main).to_have_text("Sign again (1 change)")
    main.tap()
    expect(phone.page.get_by_role("heading", level=1)).to_have_text("Review and sign")


def test_what_was_not_reached_takes_one_reason_for_all_or_one_for_each_part(phone: Phone) -> None:
    phone.begin(make="Tarn")
    phone.go("seal")
    page = phone.page
    phone.wait_for_judge()
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
