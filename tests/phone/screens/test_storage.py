"""The truth about storage: a failed write is an alarm, and the file of last resort has it all."""

from __future__ import annotations

import base64
import hashlib
import json
import re
import zipfile

import pytest
from playwright.sync_api import expect

from tests.amount import amount
from tests.phone.phone import NO_ROOM, ROOM, Phone, picture
from tests.phone.server import Server

PHOTOS = amount(1_000, short=80)
KEPT = amount(150, short=30)


@pytest.mark.new_phone
def test_a_full_phone_alarms_at_the_photo_it_could_not_keep_and_loses_no_other(
    phone: Phone, server: Server
) -> None:
    phone.begin(make="Tarn")
    phone.wait_for_sync("server")
    server.kill()
    card = phone.card("rust.arches")
    card.get_by_role("button", name="Rusted through", exact=True).tap()
    kept = 0
    for seed in range(0, KEPT, 15):
        files = [
            {"name": f"{n}.jpg", "mimeType": "image/jpeg", "buffer": picture(n, (200, 150))}
            for n in range(seed, seed + 15)
        ]
        card.locator('input[type="file"]').last.set_input_files(files)  # type: ignore[arg-type]
        kept += 15
        expect(card.locator(".photo")).to_have_count(kept)
    # Chromium's quota override does not reach IndexedDB (tried, 156): the browser's own error is
    # raised where it would be, at the store's call
    phone.page.evaluate(NO_ROOM)
    phone.add_photo(card, picture(999, (1600, 1200)))
    alarm = phone.page.get_by_role("alert").filter(has_text="NOT SAVED")
    expect(alarm).to_be_visible()
    expect(alarm).to_contain_text("The phone is full")
    expect(card.locator(".photo")).to_have_count(KEPT)

    phone.page.evaluate(ROOM)
    alarm.get_by_role("button", name="Try again").tap()
    expect(card.locator(".photo")).to_have_count(KEPT + 1)
    expect(alarm).to_have_count(0)
    phone.reopen()
    assert len(phone.cards()) == KEPT + 1


def test_a_tap_that_could_not_be_stored_does_not_show_as_stored(phone: Phone) -> None:
    phone.begin(make="Tarn")
    card = phone.card("accident.water")
    phone.page.evaluate(NO_ROOM)
    button = card.get_by_role("button", name=re.compile("^Dry")).first
    button.tap()
    alarm = phone.page.get_by_role("alert").filter(has_text="NOT SAVED")
    expect(alarm).to_be_visible()
    expect(button).to_have_attribute("aria-pressed", "false")
    phone.page.evaluate(ROOM)
    alarm.get_by_role("button", name="Try again").tap()
    expect(button).to_have_attribute("aria-pressed", "true")
    expect(alarm).to_have_count(0)


@pytest.mark.new_phone
def test_everything_unsent_goes_into_a_file_that_the_desk_reads_in(
    phone: Phone, server: Server
) -> None:
    phone.begin(make="Tarn")
    phone.wait_for_sync("server")
    server.kill()
    card = phone.card("rust.arches")
    card.get_by_role("button", name="Rusted through", exact=True).tap()
    phone.add_photo(card, picture(3))
    expect(card.locator(".photo img")).to_have_count(1)
    phone.page.locator("a.sync").tap()
    expect(phone.page.get_by_text(re.compile(r"\d+ entr(y|ies), 1 photo"))).to_be_visible()
    phone.page.get_by_role("link", name="Hand over as a file").tap()
    phone.page.get_by_role("button", name="Make the file").tap()
    with phone.page.expect_download() as download:
        phone.page.get_by_role("link", name="Save it on this phone").tap()
    with zipfile.ZipFile(download.value.path()) as archive:
        # what the server has is not in it again
        batch = json.loads(archive.read("batches/000001.json"))
        (name,) = [name for name in archive.namelist() if name.startswith("photos/")]
        photo = hashlib.sha256(archive.read(name)).hexdigest()
    assert batch["from_seq"] > 1
    puts = [event["put"] for event in batch["events"]]
    assert puts == ["items/rust.arches/choice", f"items/rust.arches/photos/{photo}"]
    assert name == f"photos/{photo}.jpeg"

    # the phone is lost, the file is not: the desk has all of it
    file = download.value.path()
    phone.close()
    server.start()
    desk = phone.context.browser.new_page()  # type: ignore[union-attr]
    desk.goto(f"{server.origin}/desk/import")
    desk.locator("#file").set_input_files(file)
    desk.locator("form:has(#file) button").first.click()
    desk.get_by_role("button", name="Import", exact=True).click()
    expect(desk.locator("main")).to_contain_text(re.compile(r"2 entries and 1 photo"))
    kept = desk.request.get(f"{server.origin}/desk/visits/{phone.visit}")
    assert "Tarn" in kept.text()
    assert photo in kept.text()
    desk.close()
    # and a phone that was found again has nothing left to send that would double it
    phone.open()
    phone.wait_for_sync("server")
    assert [card["held"] for card in phone.cards()] == [1]


def test_the_storage_screen_says_what_the_browser_promised(phone: Phone) -> None:
    phone.begin(make="Tarn")
    phone.page.goto(f"{phone.origin}/app/#/storage")
    section = phone.page.get_by_role("heading", name="Storage", exact=True).locator("..")
    promised = phone.page.evaluate("navigator.storage.persisted()")
    expected = "promised to keep everything" if promised else "may clear it"
    expect(section).to_contain_text(expected)
    expect(section).to_contain_text(re.compile(r"Space left: [\d,.]+ [MG]B"))


@pytest.mark.new_phone
def test_many_photos_arrive_through_a_server_that_dies_twice(phone: Phone, server: Server) -> None:
    phone.begin(make="Tarn")
    phone.wait_for_sync("server")
    server.kill()
    tiny = picture(1, (8, 8))
    phone.page.evaluate(_QUEUE, [base64.b64encode(tiny).decode(), PHOTOS, phone.visit])
    phone.reopen()
    expect(phone.page.locator("a.sync")).to_have_attribute("data-unsent", str(PHOTOS))
    for left in (PHOTOS * 4 // 5, PHOTOS * 2 // 5):
        server.start()
        phone.wait_until(lambda left=left: phone.unsent() <= left)  # type: ignore[misc]
        server.kill()
    server.start()
    phone.wait_for_sync("server", 120_000)
    assert sum(card["held"] for card in phone.cards()) == PHOTOS


# a comment segment makes each tiny JPEG another file
_QUEUE = """
async ([text, count, visit]) => {
  const tiny = Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0));
  const open = await new Promise((resolve, reject) => {
    const request = indexedDB.open("bradawl");
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
  const rows = [];
  for (let n = 0; n < count; n += 1) {
    const comment = [0xff, 0xfe, 0, 6, n >> 24, (n >> 16) & 255, (n >> 8) & 255, n & 255];
    const bytes = new Uint8Array([...tiny.slice(0, 2), ...comment, ...tiny.slice(2)]);
    const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
    const sha256 = [...digest].map((byte) => byte.toString(16).padStart(2, "0")).join("");
    rows.push({ sha256, bytes: bytes.buffer });
  }
  const tx = open.transaction(["photos", "cards"], "readwrite");
  for (const [n, { sha256, bytes }] of rows.entries()) {
    tx.objectStore("photos").put({ sha256, visit, type: "image/jpeg", bytes });
    tx.objectStore("cards").put({
      sha256, visit, size: bytes.byteLength, type: "image/jpeg", thumb: null, held: 0, stored: n,
    });
  }
  await new Promise((resolve, reject) => {
    tx.oncomplete = resolve;
    tx.onerror = () => reject(tx.error);
  });
  open.close();
}
"""
