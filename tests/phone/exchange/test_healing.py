"""A phone that was set back, cleared or met another protocol says so, loses nothing and goes on."""

from __future__ import annotations

import json
import shutil
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Locator, expect

from bradawl.common import settings
from bradawl.database.connection import open_engine
from bradawl.judge import fold
from bradawl.log.chains.own_keys import OwnKeys
from bradawl.log.event_log import Log
from bradawl.log.photos.storage import open_photo_store
from tests.log.sync import reference
from tests.phone.kept import KeptPhone
from tests.phone.offline.test_killed import chain_holds
from tests.phone.phone import OLD_STORE, Phone, clear_storage, picture
from tests.phone.server import Server

DESK = "de" * 16


def log_of(server: Server) -> Log:
    """The log of a server that is stopped."""
    chosen = settings.at(server.data)
    keys = OwnKeys(server.data / "own-keys", server.data.parent / "notes")
    return Log(open_engine(chosen.database_url), open_photo_store(chosen.photo_store), keys=keys)


def cells_on(server: Server, visit: str) -> dict[str, Any]:
    """A visit's cells as the stopped server folds them."""
    log = log_of(server)
    try:
        return fold(log.events_of(visit))
    finally:
        log.close()


def answer(card: Locator, name: str) -> None:
    card.get_by_role("button", name=name, exact=True).tap()
    expect(card.get_by_role("button", name=name, exact=True)).to_have_attribute(
        "aria-pressed", "true"
    )


# storage that goes away


@pytest.mark.new_phone
def test_storage_cleared_under_the_open_app_is_said_and_what_is_in_memory_can_be_kept(
    phone: Phone, server: Server
) -> None:
    phone.begin(make="Tarn")
    phone.wait_for_sync("server")
    phone.wait_for_worker()
    before = phone.device()
    server.kill()
    card = phone.card("rust.arches")
    answer(card, "Rusted through")
    clear_storage(phone)
    alert = phone.page.get_by_role("alert")
    expect(alert).to_contain_text("The browser deleted what Bradawl had stored")
    expect(alert).to_contain_text("Not sent yet: 1 entry.")
    # nothing is shown as saved, or as on the server
    expect(phone.page.locator("a.sync")).to_have_count(0)
    expect(phone.page.locator("[data-item]")).to_have_count(0)

    phone.page.get_by_role("button", name="Go on, and record that entry again").tap()
    phone.wait_for_sync("phone")
    server.start()
    phone.page.locator("a.sync").tap()
    phone.page.get_by_role("button", name="Send now").tap()
    phone.wait_for_sync("server")
    assert phone.device() != before
    phone.go("area/rust/rust.arches")
    expect(card).to_have_attribute("data-grade", "major")
    expect(card.get_by_role("button", name="Rusted through", exact=True)).to_have_attribute(
        "aria-pressed", "true"
    )
    assert chain_holds(phone.log())
    (begun,) = [event for event in phone.log() if event["put"] == "device/continues"]
    assert begun["device"] == phone.device()
    assert (begun["value"]["device"], begun["value"]["why"]) == (before, "lost")
    # what this phone had written before came back whole, as another device's
    old = [event["seq"] for event in phone.log() if event["device"] == before]
    assert old == list(range(1, begun["value"]["seq"] + 1))
    server.stop()
    cells = cells_on(server, phone.visit)
    assert cells["car/make"]["value"] == "Tarn"
    assert cells["items/rust.arches/choice"]["value"] == "holed"


@pytest.mark.new_phone
def test_storage_that_vanished_while_everything_was_sent_loses_nothing(
    phone: Phone, server: Server
) -> None:
    phone.begin(make="Tarn")
    card = phone.card("rust.arches")
    answer(card, "Rusted through")
    phone.wait_for_sync("server")
    clear_storage(phone)
    expect(phone.page.get_by_role("alert")).to_contain_text("nothing is lost")
    phone.page.get_by_role("button", name="Go on", exact=True).tap()
    # the visit that was open opens again by itself, when it has come back
    expect(card).to_have_attribute("data-grade", "major")
    phone.wait_for_sync("server")


@pytest.mark.new_phone
def test_a_phone_that_was_cleared_while_it_was_closed_says_so_once(
    phone: Phone, server: Server
) -> None:
    phone.begin(make="Tarn")
    phone.wait_for_sync("server")
    before = phone.device()
    phone.close()
    clear_storage(phone)
    phone.open()
    told = "The browser had cleared this phone's storage"
    note = phone.page.get_by_text(told)
    expect(note).to_be_visible()
    expect(phone.page.locator(f'[data-visit="{phone.visit}"]')).to_contain_text("Tarn")
    phone.wait_for_sync("server")
    assert phone.device() != before
    phone.page.get_by_role("button", name="I've read this").tap()
    expect(note).to_have_count(0)
    phone.reopen()
    phone.wait_for_sync("server")
    expect(phone.page.get_by_text(told)).to_have_count(0)
    assert len([event for event in phone.log() if event["put"] == "device/continues"]) == 1


# copies


@pytest.fixture
def kept(browser: Browser, server: Server, tmp_path: Path) -> Iterator[KeptPhone]:
    phone = KeptPhone(browser.browser_type, server.origin, tmp_path / "profile")
    phone.start()
    yield phone
    phone.stop()


@pytest.mark.new_phone
def test_a_profile_put_back_that_writes_first_goes_on_and_both_lives_arrive(
    server: Server, kept: KeptPhone, tmp_path: Path
) -> None:
    kept.open()
    kept.wait_for_sync("server")
    kept.wait_for_worker()
    kept.begin(make="Tarn")
    kept.wait_for_sync("server")
    old = kept.device()
    kept.stop()
    shutil.copytree(kept.folder, tmp_path / "copy")
    kept.start()
    kept.open()
    card = kept.card("rust.arches")
    answer(card, "Rusted through")
    kept.wait_for_sync("server")
    kept.stop()

    server.kill()
    shutil.rmtree(kept.folder)
    shutil.copytree(tmp_path / "copy", kept.folder)
    kept.start()
    kept.open()
    assert kept.device() == old
    other = kept.card("accident.inner-wings")
    answer(other, "Needs fixing")
    server.start()
    kept.page.reload()
    kept.wait_for_sync("server")
    assert kept.device() != old
    assert chain_holds(kept.log())
    (begun,) = [event for event in kept.log() if event["put"] == "device/continues"]
    assert (begun["value"]["device"], begun["value"]["why"]) == (old, "forked")
    expect(kept.page.locator(".sync")).to_have_attribute("data-unsent", "0")
    for item, grade in (("rust.arches", "major"), ("accident.inner-wings", "major")):
        expect(kept.card(item)).to_have_attribute("data-grade", grade)
    assert kept.errors == []
    server.stop()
    cells = cells_on(server, kept.visit)
    assert cells["items/rust.arches/choice"]["value"] == "holed"
    assert cells["items/accident.inner-wings/grade"]["value"] == {"grade": "major"}


@pytest.mark.new_phone
def test_a_data_folder_that_was_copied_back_gets_what_it_lost_and_photos_go(
    browser: Browser, server: Server, phone: Phone, tmp_path: Path
) -> None:
    phone.begin(make="Tarn")
    phone.wait_for_sync("server")
    server.stop()
    log = log_of(server)
    log.append(DESK, phone.visit, [("about/place", "A yard")])
    log.close()
    shutil.copytree(server.data, tmp_path / "copy")
    log = log_of(server)
    log.append(DESK, phone.visit, [("about/place", "Another yard")])
    log.close()
    server.start()
    phone.page.reload()
    card = phone.card("rust.arches")
    answer(card, "Rusted through")
    phone.wait_for_sync("server")

    server.stop()
    shutil.rmtree(server.data)
    shutil.copytree(tmp_path / "copy", server.data)
    log = log_of(server)
    log.append(DESK, phone.visit, [("about/note", "written after the copy")])
    log.close()
    server.start()
    phone.add_photo(card, picture(5))
    expect(card.locator(".photo img")).to_have_count(1)
    phone.page.reload()
    phone.wait_for_sync("server")
    assert [one["held"] for one in phone.cards()] == [1]
    assert chain_holds(phone.log())
    server.stop()
    cells = cells_on(server, phone.visit)
    assert cells["about/place"]["value"] == "Another yard"
    assert cells["about/note"]["value"] == "written after the copy"
    assert cells["items/rust.arches/choice"]["value"] == "holed"


# another protocol


@pytest.mark.parametrize(
    ("protocol", "line", "sentence"),
    [
        (3, "Update this app to send", "update the app"),
        (1, "The shop computer needs an update", "update it there"),
    ],
)
def test_another_protocol_says_which_side_is_old_and_all_of_it_can_be_saved(
    phone: Phone, server: Server, protocol: int, line: str, sentence: str
) -> None:
    phone.begin(make="Tarn")
    phone.wait_for_sync("server")
    server.stop()
    server.speak(protocol)
    server.start()
    card = phone.card("rust.arches")
    answer(card, "Rusted through")
    phone.add_photo(card, picture(4))
    expect(card.locator(".photo img")).to_have_count(1)
    phone.wait_for_sync("outdated")
    sync = phone.page.locator("a.sync")
    expect(sync).to_contain_text(line)
    phone.wait_until(
        lambda: all(one["held"] == 1 for one in phone.cards())
    )  # photos go all the same
    sync.tap()
    region = phone.page.get_by_role("region", name="What needs you")
    expect(region).to_contain_text(sentence)
    if protocol == 3:
        region.get_by_role("button", name="Get the new version").tap()
        expect(region).to_contain_text("No newer version is offered")
    with phone.page.expect_download() as download:
        region.get_by_role("button", name="Save unsent work to a file").tap()
    written = json.loads(download.value.path().read_text())
    assert (written["format"], written["version"], written["protocol"]) == ("bradawl-unsent", 2, 2)
    (batch,) = written["batches"]
    puts = [event["put"].split("/")[:3] for event in batch["events"]]
    assert puts == [["items", "rust.arches", "choice"], ["items", "rust.arches", "photos"]]
    last = batch["from_seq"] + len(batch["events"]) - 1
    text = f"bradawl-head-2\n{batch['device']}\n{last}\n{batch['head']}"
    assert reference.verifies(batch["key"], text, batch["signature"])

    server.stop()
    server.speak(None)
    server.start()
    region.get_by_role("button", name="Try again").first.tap() if protocol == 1 else (
        phone.page.get_by_role("button", name="Send now").tap()
    )
    phone.wait_for_sync("server")


def test_storage_of_app_0_1_is_refused_in_a_sentence_and_cleared_only_when_asked_twice(
    browser: Browser, standing_server: Server
) -> None:
    phone = Phone(browser, standing_server.origin)
    phone.page.goto(f"{phone.origin}/app/mark.svg")
    phone.page.evaluate(OLD_STORE)
    phone.open()
    alert = phone.page.get_by_role("alert")
    expect(alert).to_contain_text("stored by Bradawl 0.1")
    assert phone.page.evaluate(_OLD_EVENTS) == 1
    phone.page.get_by_role("button", name="Clear it and start over").tap()
    phone.page.get_by_role("button", name="Keep it").tap()
    phone.page.get_by_role("button", name="Clear it and start over").tap()
    assert phone.page.evaluate(_OLD_EVENTS) == 1
    phone.page.get_by_role("button", name="Yes, delete it").tap()
    # a new phone begins with its first question
    expect(phone.page.locator("[data-region]").first).to_be_visible()
    phone.wait_for_sync("server")
    phone.throw_away()


# clocks, and what the server will not have


@pytest.mark.new_phone
def test_a_clock_that_is_off_is_told_by_how_much_and_refuses_nothing(phone: Phone) -> None:
    phone.begin(make="Tarn")
    phone.wait_for_sync("server")
    answers = ("Surface rust", -3, "3 hours behind"), ("Rusted through", 24 * 40, "40 days ahead")
    for name, hours, said in answers:
        phone.page.clock.set_system_time(datetime.now(UTC) + timedelta(hours=hours))
        answer(phone.card("rust.arches"), name)
        phone.wait_for_sync("server")
        phone.wait_until(lambda: phone.unsent() == 0)
        phone.page.locator("a.sync").tap()
        note = phone.page.locator(".clock")
        expect(note).to_contain_text(f"This phone's clock is {said}")
        expect(note).to_contain_text("Set it right")


def test_a_refused_photo_is_named_and_its_alarm_ends_when_it_is_dropped(phone: Phone) -> None:
    before = len(phone.cards())
    phone.begin(make="Tarn", model="Nine")
    card = phone.card("rust.arches")
    answer(card, "Rusted through")
    heic = (Path(__file__).parents[2] / "log/photos/fixtures/drawn.heic").read_bytes()
    phone.add_photo(card, picture(6))
    expect(card.locator(".photo img")).to_have_count(1)
    phone.add_photo(card, heic[: len(heic) // 2], "IMG_2.heic")
    expect(card.locator(".photo")).to_have_count(2)
    phone.wait_for_sync("refused")
    sync = phone.page.locator("a.sync")
    expect(sync).to_contain_text("A photo was turned down")
    sync.tap()
    region = phone.page.get_by_role("region", name="What needs you")
    title = phone.page.evaluate(_TITLE_OF, "rust.arches")
    expect(region).to_contain_text(f"Photo 2 of {title}")
    expect(region).to_contain_text("Of “Tarn Nine”.")
    # to the item, to take it again; and back
    region.get_by_role("link", name="Take it again").tap()
    expect(card).to_be_visible()
    sync.tap()
    region.get_by_role("button", name="Try again").tap()
    expect(region).to_contain_text(f"Photo 2 of {title}")
    region.get_by_role("button", name="Drop this photo").tap()
    region.get_by_role("button", name="Yes, drop it for good").tap()
    phone.wait_for_sync("server")
    expect(region).to_have_count(0)
    assert len(phone.cards()) == before + 1
    phone.go("area/rust/rust.arches")
    expect(card.locator(".photo")).to_have_count(1)


def test_one_entry_that_the_server_does_not_take_can_be_left_out(
    phone: Phone, server: Server
) -> None:
    phone.begin(make="Tarn")
    phone.wait_for_sync("server")
    answer(phone.card("rust.arches"), "Rusted through")
    phone.wait_for_sync("server")
    server.kill()
    answer(phone.card("accident.inner-wings"), "Needs fixing")
    # as a damaged app would have written it: a path that no record has
    phone.page.evaluate(_SPOIL, phone.device())
    server.start()
    phone.page.reload()
    phone.wait_for_sync("refused")
    phone.page.locator("a.sync").tap()
    region = phone.page.get_by_role("region", name="What needs you")
    expect(region).to_contain_text("turned down the entry")
    expect(region).to_contain_text("path can have")
    region.get_by_role("button", name="Go on without this entry").tap()
    region.get_by_role("button", name="Yes, leave it out for good").tap()
    phone.wait_for_sync("server")
    assert chain_holds(phone.log())


_OLD_EVENTS = """
() => new Promise((resolve, reject) => {
  const request = indexedDB.open("bradawl");
  request.onsuccess = () => {
    const count = request.result.transaction("events").objectStore("events").count();
    count.onsuccess = () => { request.result.close(); resolve(count.result); };
  };
  request.onerror = () => reject(request.error);
})
"""

_TITLE_OF = """
(item) => fetch("/api/v1/offline").then((a) => a.json()).then(({ checklists }) =>
  fetch(checklists)).then((a) => a.json()).then(({ items }) =>
  items.find(({ id }) => id === item).title)
"""

# the last own entry gets a path with capitals, under its own seq
_SPOIL = """
(device) => new Promise((resolve, reject) => {
  const request = indexedDB.open("bradawl");
  request.onsuccess = () => {
    const tx = request.result.transaction("events", "readwrite");
    const range = IDBKeyRange.bound([device, 0], [device, Number.MAX_SAFE_INTEGER]);
    tx.objectStore("events").openCursor(range, "prev").onsuccess = ({ target }) => {
      const event = target.result.value;
      tx.objectStore("events").put({ ...event, put: "Items/Spoiled" });
    };
    tx.oncomplete = () => { request.result.close(); resolve(); };
    tx.onerror = () => reject(tx.error);
  };
})
"""
