"""Without a network: cold start, recording, judging; and everything arrives later."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import expect

from tests.phone.phone import Phone, picture
from tests.phone.server import Server


def test_a_visit_is_begun_recorded_and_judged_with_the_server_dead(
    server: Server, phone: Phone
) -> None:
    phone.wait_for_worker()
    server.kill()
    phone.reopen()
    phone.begin(make="Tarn", model="Nine")
    card = phone.card("rodents.battery-lead")
    card.get_by_role("button", name=re.compile("^Bare")).first.tap()
    expect(card).to_have_attribute("data-grade", re.compile("dangerous|major"))
    expect(card.locator(".reasons")).not_to_be_empty()
    phone.add_photo(card, picture(1))
    expect(card.locator(".photo img")).to_have_count(1)
    phone.go("kerb")
    expect(phone.page.locator(".verdict-trailer").first).to_be_visible()
    phone.wait_for_sync("phone")

    server.start()
    phone.wait_for_sync("server")
    expect(phone.page.locator("a.sync")).to_have_attribute("data-unsent", "0")
    assert all(photo["held"] == 1 for photo in phone.cards())


def test_a_visit_that_was_only_begun_is_not_said_to_be_on_the_server(
    server: Server, phone: Phone
) -> None:
    phone.wait_for_worker()
    server.kill()
    phone.begin()
    phone.wait_for_sync("phone")
    assert phone.unsent() == len(phone.events())
    server.start()
    phone.wait_for_sync("server")


def test_with_no_server_in_reach_nothing_is_ever_said_to_be_on_its_way(
    server: Server, phone: Phone
) -> None:
    phone.wait_for_worker()
    phone.begin(make="Tarn")
    phone.wait_for_sync("server")
    server.kill()
    card = phone.card("accident.water")
    phone.page.evaluate(_WATCH)
    for name in ("Dry", "Damp", "Dry"):
        with phone.page.expect_event("requestfailed", lambda asked: "/sync/" in asked.url):
            card.get_by_role("button", name=name, exact=False).first.tap()
    phone.wait_for_sync("phone")
    assert set(phone.page.evaluate("window.saidStates")) <= {"server", "phone"}


_WATCH = """() => {
  window.saidStates = [];
  const line = document.querySelector("a.sync");
  const watch = new MutationObserver(() => window.saidStates.push(line.dataset.state));
  watch.observe(line, { attributes: true, attributeFilter: ["data-state"] });
}"""


def test_a_restart_returns_to_the_same_screen(server: Server, phone: Phone) -> None:
    phone.wait_for_worker()
    phone.begin(make="Tarn")
    phone.go("area/brakes")
    expect(phone.page.get_by_role("heading", level=1)).to_have_text("Brakes")
    phone.whole_page()
    phone.page.mouse.wheel(0, 700)
    phone.wait_until(lambda: (phone.meta("place") or {}).get("scroll", 0) > 600)
    before = phone.page.evaluate("scrollY")
    server.kill()
    phone.reopen()
    expect(phone.page.get_by_role("heading", level=1)).to_have_text("Brakes")
    phone.wait_until(lambda: abs(phone.page.evaluate("scrollY") - before) < 60)


def test_nothing_is_claimed_of_the_server_before_it_answered(server: Server, phone: Phone) -> None:
    phone.begin(make="Tarn")
    phone.wait_for_sync("server")
    server.kill()
    card = phone.card("accident.water")
    card.get_by_role("button", name="Dry", exact=False).first.tap()
    expect(card).to_have_attribute("data-grade", "none")
    phone.wait_for_sync("phone")
    expect(phone.page.locator("a.sync")).to_contain_text("Saved on this phone · 1 to send")


@pytest.mark.new_phone
def test_a_phone_whose_pairing_was_withdrawn_keeps_everything_and_says_so(
    server: Server, phone: Phone
) -> None:
    phone.begin(make="Tarn")
    phone.wait_until(lambda: phone.page.request.get(f"{server.origin}/api/v1/me").ok)
    phone.wait_for_sync("server")
    phone.reopen()
    phone.context.clear_cookies()
    phone.card("accident.water").get_by_role("button", name="Damp", exact=False).first.tap()
    phone.wait_for_sync("pair")
    assert len(phone.events()) >= 6
    phone.be_approved()
    phone.wait_for_sync("server")


_CHOOSE_SPANISH = """async () => {
  const open = await new Promise((resolve, reject) => {
    const request = indexedDB.open("bradawl");
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
  const change = open.transaction("meta", "readwrite");
  const meta = change.objectStore("meta");
  const asked = meta.get("preferences");
  asked.onsuccess = () => meta.put({ ...asked.result, locale: "es-US" }, "preferences");
  await new Promise((resolve) => { change.oncomplete = resolve; });
  open.close();
}"""


#: In which language each text on the page is, as a reader that speaks it finds out.
_LANGUAGES = """() => {
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  const found = {};
  while (walker.nextNode()) {
    const { textContent, parentElement } = walker.currentNode;
    if (textContent.trim()) found[textContent.trim()] = parentElement.closest("[lang]").lang;
  }
  return found;
}"""


@pytest.mark.new_phone
def test_cautions_are_read_in_the_phones_language_without_a_network(
    server: Server, phone: Phone
) -> None:
    phone.wait_for_worker()
    phone.begin(make="Tarn")
    phone.wait_for_sync("server")
    card = phone.card("brakes.front-pads")
    expect(card).to_contain_text("Brakes")
    phone.page.evaluate(_CHOOSE_SPANISH)  # the storage screen offers what is wholly translated
    phone.reopen()
    kept = "() => caches.open('bradawl-content').then((cache) => cache.keys())"
    kept += ".then((all) => all.some(({ url }) => url.endsWith('/es-US.json')))"
    phone.wait_until(lambda: phone.page.evaluate(kept))
    server.kill()
    phone.reopen()
    card = phone.card("brakes.front-pads")
    expect(card).to_contain_text("Frenos")
    expect(card.locator("h2, h3").first).to_contain_text("pad")  # not translated: in English
    # the language has no word of the phone's yet: its words are English, and say so
    expect(phone.page.locator("html")).to_have_attribute("lang", "es-US")
    phone.every_card()
    said = phone.page.evaluate(_LANGUAGES)
    assert said["Frenos"] == "es-US"
    for english in ("All sent", "Needs fixing", "Brake fluid low", "Cold start"):
        assert said[english] == "en-US", english
    assert sum(language == "en-US" for language in said.values()) > 10
    assert not re.search("[\ue010-\ue012]", phone.page.content())
