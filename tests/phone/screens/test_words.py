"""Every screen of the app in the pseudo-locale: no word that the catalogue did not say.

en-XA is en-US with every letter marked (`Ƒúéł ĥóšé`): whoever sees a plain letter sees a text that
no translator can reach. The checklist's texts come marked from the server, at the address of their
locale, as translated ones do. One browser session walks through all of it.
"""

from __future__ import annotations

import json
import re
import string
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from playwright.sync_api import Browser, Locator, Route, expect

from bradawl import language
from bradawl.language import catalogue
from bradawl.language.pseudo import marked
from tests.phone.phone import NO_ROOM, OLD_STORE, ROOM, Phone, clear_storage, picture
from tests.phone.server import Server

#: What a person typed into this visit, and what has a name of its own.
TYPED = (
    "Tarn",
    "Nine",
    "Ada Example",
    "Yard Road",
    "greasy",
    "DOT",
    "Shop CA 2027",
    "Shop CA 2025",
)
#: Plain words that may show, each with its reason.
ALLOWED = {
    r"/about/\w+|[a-z]+/[a-z_./-]+": "the path of an entry that has no item",
    r"https?://\S+": "an address",
    r"\b(USD|EUR)\b": "a currency's code",
    r"[0-9a-f]{32}": "an id",
}
WORD = re.compile(r"[A-Za-z]{2,}")

#: All that is read or read out on the page.
_READ = """() => {
  const found = [document.title];
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walk.nextNode()) {
    const { parentElement: within, data } = walk.currentNode;
    if (within.closest("script, style, noscript, .code dd") === null) found.push(data);
  }
  for (const name of ["aria-label", "placeholder", "alt", "title"]) {
    for (const one of document.querySelectorAll(`[${name}]`)) found.push(one.getAttribute(name));
  }
  return [...new Set(found.map((text) => text.trim()))].filter((text) => text !== "");
}"""


def _mark_sources(route: Route) -> None:
    """What a source is called is no text of the checklist: it has no other language."""
    bundle = route.fetch().json()
    for source in bundle["sources"].values():
        source |= {key: marked(source[key]) for key in ("title", "section") if key in source}
    route.fulfill(json=bundle)


def plain_words(texts: list[str]) -> list[str]:
    """What of these texts nobody marked."""
    found = []
    for text in texts:
        rest = text
        for typed in TYPED:
            rest = rest.replace(typed, " ")
        for pattern in ALLOWED:
            rest = re.sub(pattern, " ", rest)
        if WORD.search(rest):
            found.append(text)
    return found


def shown_words(events: list[dict[str, Any]]) -> list[str]:
    """Entries in which a word stands as this reader saw it, and nobody typed it."""
    marks = re.compile(f"[{''.join({*marked(string.ascii_letters)} - {*string.ascii_letters})}]")
    return [event["put"] for event in events if marks.search(json.dumps(event, ensure_ascii=False))]


class Reader:
    """A phone that reads in the pseudo-locale, and what it found unmarked, by screen."""

    def __init__(self, phone: Phone) -> None:
        self.phone = phone
        self.page = phone.page
        self.seen = 0
        self.found: dict[str, list[str]] = {}

    def look(self, screen: str) -> None:
        """Read all that stands on the screen now."""
        self.phone.wait_until_still()
        texts: list[str] = self.page.evaluate(_READ)
        self.seen += len(texts)
        plain = plain_words(texts)
        if plain:
            self.found[screen] = plain

    def button(self, message_id: str, within: Locator | None = None, **values: Any) -> Locator:
        with language.reading_as(language.Reader(catalogue.PSEUDO)):
            name = language.text(message_id, **values)
        return (within or self.page).get_by_role("button", name=name).first

    def tap(self, message_id: str, within: Locator | None = None, **values: Any) -> None:
        self.button(message_id, within, **values).tap()

    def serve(self, path: str | re.Pattern[str], answer: Any, status: int = 200) -> None:
        """From now on this is answered there, until `unroute`."""
        self.phone.context.route(path, lambda route: route.fulfill(status=status, json=answer))

    def refuse(self, path: str | re.Pattern[str], status: int, **error: Any) -> None:
        """From now on the server answers there with a refusal, in its own marked words."""
        self.serve(path, {"error": {**error, "message": marked("The server says why.")}}, status)

    def unroute(self, path: str | re.Pattern[str]) -> None:
        self.phone.context.unroute(path)


@pytest.fixture
def reader(browser: Browser, server: Server) -> Iterator[Reader]:
    phone = Phone(
        browser,
        server.origin,
        service_workers="block",  # a service worker would ask past the routes
        locale=catalogue.PSEUDO,
    )
    phone.context.route("**/api/v1/checklists/*.json", _mark_sources)
    yield Reader(phone)
    phone.throw_away()


def _begin(reader: Reader) -> None:
    phone, page = reader.phone, reader.page
    page.goto(f"{phone.origin}/app/")
    expect(page.locator("[data-region]").first).to_be_visible()
    phone.wait_for_sync("server")
    reader.look("the first question")
    phone.open()
    expect(page.locator("html")).to_have_attribute("lang", "en-XA")
    reader.look("no cars")
    reader.tap("phone-cars-start")
    page.locator("#car-make").fill("Tarn")
    found = re.search(r"visit/([0-9a-f]{32})", page.url)
    assert found is not None
    phone.visit = found[1]
    reader.look("a car is started")
    page.get_by_role("main").get_by_role("link").last.tap()  # all of the car's facts


def _facts(reader: Reader) -> None:
    phone, page = reader.phone, reader.page
    page.locator("#car-model").fill("Nine")
    page.locator("#car-year").fill("94")
    page.locator("#about-asking_price").fill("a lot")
    page.locator("#about-seller").click()
    expect(page.locator(".wrong")).to_have_count(2)
    reader.look("facts, wrong")
    page.locator("#about-asking_price").fill("2400")
    page.locator("#car-year").fill("1994")
    for use in ("use-show", "use-track"):
        reader.tap(use)
    reader.tap("phone-facts-depth-thorough")
    reader.tap("phone-facts-motorway")
    expect(phone.status()).to_be_visible()
    phone.wait_for_judge()
    reader.look("facts")


def _cards(reader: Reader) -> None:
    """Items of every kind: by grade, by choice, with readings, in words, by their marks."""
    phone, page = reader.phone, reader.page
    for stage in page.evaluate(
        "[...document.querySelectorAll('[data-stage]')].map((row) => row.dataset.stage)"
    ):
        phone.go(f"stage/{stage}")
        phone.whole_page()
        reader.look(f"stage {stage}")
    pads = phone.card("brakes.front-pads")
    reader.tap("phone-item-details", pads)
    field = pads.get_by_role("textbox").first
    field.fill("2.5")
    expect(pads).not_to_have_attribute("data-grade", "open")
    reader.look("a reading, and how to")
    reader.tap("grade-none", pads)
    expect(pads.locator(".chips")).to_be_visible()
    reader.look("a rating that differs")
    rack = phone.card("bushings.steering-rack")
    rack.get_by_role("textbox").first.fill(".1875")  # of an inch, where millimeters stand
    expect(rack.locator(".doubt").first).to_be_visible()
    reader.look("a unit in doubt")
    arches = phone.card("rust.arches")
    arches.locator(".choice").last.tap()
    expect(arches).to_have_attribute("data-grade", "uninspected")
    reader.look("why not")
    reader.tap("chip-not-dark", arches)
    reader.look("too dark")
    arches.locator(".choice").nth(2).tap()
    expect(phone.status()).to_be_visible()
    phone.add_photo(arches, picture(1))
    expect(arches.locator(".photo img")).to_have_count(1)
    arches.locator(".photo").first.tap()
    reader.look("a photo opened")
    arches.locator(".open-photo .chips .choice").first.tap()  # a reason of the checklist
    reader.look("a caption")
    reader.tap("phone-photo-draw", arches)
    expect(page.locator(".drawon canvas")).to_be_visible()
    reader.look("drawing on a photo")
    phone.card("accident.water").locator(".choice").nth(1).tap()
    reader.tap("phone-undo")
    reader.look("undone")


def _map(reader: Reader) -> None:
    phone, page = reader.phone, reader.page
    phone.go("map")
    reader.look("map")
    page.locator('[data-panel="bonnet"]').click()
    for field, film in zip(page.locator(".sheet .reading input").all()[:3], "345", strict=True):
        field.fill(f"{film}00")
    page.locator(".sheet .choice").first.tap()
    phone.wait_for_judge()
    reader.look("a panel measured")


def _decision(reader: Reader) -> None:
    phone, page = reader.phone, reader.page
    phone.go("kerb")
    expect(page.locator(".spoken")).to_be_visible()
    phone.wait_for_judge()
    for fold in page.locator("main summary").all():
        fold.tap()
    for more in page.locator("main .more").all():
        more.tap()
    reader.look("decide")
    phone.go("tell")
    expect(page.locator(".tell-text")).to_be_visible()
    reader.look("tell a partner")
    for part, shown in (
        ("calls", "[data-question]"), ("lookups", "[data-lookup]"), ("load", "[data-load]"),
        ("haul", ".haul-plan"),
    ):  # fmt: skip
        phone.go(f"going/{part}")
        expect(page.locator(shown).first).to_be_visible()
        reader.look(f"before going: {part}")
    for part, shown in (
        ("leaving", ".leaving-price"), ("leaving/card", ".leaving-top"),
        ("leaving/papers", "[data-paper]"),
    ):  # fmt: skip
        phone.go(part)
        expect(page.locator(shown).first).to_be_visible()
        for fold in page.locator("main summary").all():
            fold.tap()
        reader.look(part)
    phone.go("kerb")
    reader.tap("phone-decide-to-seller")
    expect(page.locator(".figure, .sums")).to_have_count(0)
    reader.look("for the seller")
    reader.tap("phone-seller-back")
    order = page.locator("main p", has_text=re.compile(r"\d, \d, \d"))
    reader.look("the way back")
    for figure in re.findall(r"\d", order.inner_text()):
        page.get_by_role("button", name=figure, exact=True).tap()
    expect(page.locator(".spoken")).to_be_visible()


def _trouble(reader: Reader) -> None:
    """From symptom to cause: the list, a test, a cause ruled out and one found, a reading."""
    phone, page = reader.phone, reader.page
    phone.go("trouble")
    expect(page.locator("[data-complaint]").first).to_be_visible()
    reader.look("symptoms")
    phone.go("trouble/rest-pressure")
    page.locator(".trouble-foot button").first.tap()
    expect(page.locator("[data-known]")).to_have_count(1)
    page.locator('[data-cause="injector"] summary').tap()
    reader.tap("trouble-rule-out", page.locator('[data-cause="injector"]'))
    page.locator(".trouble-why input").first.fill("greasy")
    reader.tap("trouble-rule-out-save")
    expect(page.locator("li.trouble-known[data-cause]")).to_have_count(1)
    for fold in page.locator("main summary").all():
        fold.tap()
    reader.look("a symptom")
    reader.tap("trouble-skip")
    cause = page.locator('[data-cause="regulator"]')
    reader.tap("trouble-it-is", cause)
    reader.look("how bad it is")
    cause.locator(".choice").first.tap()
    expect(page.locator("[data-found]")).to_have_count(1)
    reader.look("a cause found")


def _capture(reader: Reader) -> None:
    """All that the one control opens, and what is made of it."""
    phone, page = reader.phone, reader.page
    phone.card("rust.arches")
    reader.tap("phone-capture")
    sheet = page.locator("dialog.modal")
    expect(sheet.locator("input[capture]")).to_have_count(1)
    camera = {"name": "IMG_9.jpg", "mimeType": "image/jpeg", "buffer": picture(9)}
    sheet.locator("input[capture]").set_input_files(camera)
    expect(sheet.locator('[data-kept="1"]')).to_have_count(1)
    reader.look("capture")
    # its word is within that of the voice note
    sheet.locator(".capture-choices > button").nth(2).tap()
    sheet.locator("textarea").fill("greasy")
    reader.look("a note of nothing")
    reader.tap("capture-note-keep", sheet)
    reader.tap("capture-row", sheet)
    expect(reader.button("phone-photo-shoot", sheet)).to_be_enabled()
    reader.look("viewfinder")
    reader.tap("capture-done", sheet)
    reader.tap("capture-engine", sheet)
    reader.look("asked before a voice")
    reader.tap("capture-voice-agreed", sheet)
    expect(sheet.locator("[data-recording]")).to_be_visible()
    reader.look("recording")
    reader.tap("capture-stop", sheet)
    expect(sheet.locator("audio")).to_be_visible()
    reader.look("recorded")
    reader.tap("capture-delete", sheet)
    reader.look("asked before it is deleted")
    reader.tap("phone-issue-keep", sheet)
    reader.tap("capture-done", sheet)
    phone.go("sort")
    expect(page.locator("[data-captured]")).to_have_count(3)
    reader.tap("capture-choose")
    page.locator(".check-search input").fill("zzz")
    reader.look("to sort")
    page.locator("[data-kind=engine] .capture-suggested").tap()
    expect(page.locator("[data-sound]")).to_have_count(1)
    page.locator("[data-captured] .photo").tap()
    expect(page.locator(".photo-frame img")).to_be_visible()
    reader.look("a photo, opened")
    page.keyboard.press("Escape")
    phone.go("")
    reader.look("walk, with something to sort")


def _signing(reader: Reader) -> None:
    phone, page = reader.phone, reader.page
    phone.go("seal")
    phone.wait_for_judge()
    reader.tap("phone-lock-go")
    expect(page.locator(".wrong").first).to_be_visible()
    page.locator("details:has(#lock-place) > summary").tap()
    reader.look("not locked yet")
    page.locator("#lock-name").fill("Ada Example")
    page.locator("#lock-place").fill("Yard Road")
    phone.draw_signature()
    reader.tap("phone-lock-go")
    expect(page.locator(".sealed").first).to_be_visible()
    reader.look("walk, signed")
    card = phone.card("accident.water")
    card.locator(".choice").nth(1).tap()
    expect(card).not_to_have_attribute("data-grade", "open")
    phone.go("")
    reader.look("walk, changed since")
    page.goto(f"{phone.origin}/app/#/")
    expect(page.locator("[data-visit]")).to_have_count(1)
    reader.look("cars")
    page.goto(f"{phone.origin}/app/#/visit/{'0' * 32}")
    expect(page.get_by_role("alert")).to_be_visible()
    reader.look("no such car")


#: What the server refuses, with which code; the photo's refusal is its own.
REFUSALS: dict[str, tuple[int, dict[str, Any]]] = {
    "pair": (401, {"code": "unknown"}),
    "app too old": (426, {"code": "app_too_old"}),
    "server too old": (409, {"code": "server_too_old"}),
    "server": (409, {"code": "odd"}),
    "entry": (409, {"code": "event", "index": 0}),
}


def _refusals(reader: Reader) -> None:
    """The storage screen: all sent, then each thing that can stand in the way of it."""
    phone, page = reader.phone, reader.page
    storage = f"{phone.origin}/app/#/storage"
    page.goto(storage)
    phone.wait_for_sync("server")
    reader.look("storage")
    for name, (status, error) in REFUSALS.items():
        reader.refuse("**/api/v1/sync/push", status, **error)
        phone.card("accident.water").locator(".choice:not([aria-pressed=true])").first.tap()
        page.goto(storage)
        reader.tap("phone-storage-now")
        states = {"pair": "pair", "app too old": "outdated", "server too old": "outdated"}
        phone.wait_for_sync(states.get(name, "refused"))
        if name == "app too old":
            reader.tap("phone-issue-app-update")
        if name == "entry":
            reader.tap("phone-issue-entry-leave")
        reader.look(f"storage: {name}")
        reader.unroute("**/api/v1/sync/push")
    reader.tap("phone-storage-now")
    phone.wait_for_sync("server")
    blobs = re.compile("/api/v1/blobs/[0-9a-f]{64}$")
    reader.refuse(blobs, 422, code="photo")
    card = phone.card("rust.arches")
    phone.add_photo(card, picture(2))
    phone.wait_for_sync("refused")
    page.goto(storage)
    reader.tap("phone-issue-photo-drop")
    reader.look("storage: photo")
    reader.tap("phone-issue-photo-sure")
    phone.wait_for_sync("server")
    reader.unroute(blobs)


POLL = "**/api/v1/pairing/poll"


def _pairing(reader: Reader) -> None:
    phone, page = reader.phone, reader.page
    page.goto(f"{phone.origin}/app/#/pair")
    # the phone has asked by itself when it was refused
    reader.serve(POLL, {"state": "expired"})
    phone.wait_until(lambda: phone.meta("pairing") is None)
    page.reload()
    reader.unroute(POLL)
    reader.look("pairing")
    # whoever is known is not told that the code has expired
    reader.refuse("**/api/v1/me", 401, code="unknown")
    for end in ("refused", "expired", "approved"):
        asked = {"code": "1234", "words": "a b", "secret": "s", "seconds_left": 600}
        reader.serve("**/api/v1/pairing", {"state": "waiting", **asked})
        reader.serve(POLL, {"state": "waiting"})
        page.locator("section button.main").tap()
        expect(page.locator(".code")).to_be_visible()
        reader.look("pairing, a code shown")
        reader.unroute(POLL)
        reader.serve(POLL, {"state": end})
        expect(page.locator(".code")).to_have_count(0)
        reader.look(f"pairing, {end}")
        reader.unroute(POLL)
        reader.unroute("**/api/v1/pairing")
    reader.unroute("**/api/v1/me")


def _notices(reader: Reader) -> None:
    """On the list of cars: the shop's certificates; a clock that is off; nobody answers."""
    phone, page = reader.phone, reader.page
    # tomorrow: a run may take its time over midnight
    day = datetime.now(UTC).date() + timedelta(days=1)
    now = {"name": "Shop CA 2026", "sha256": "a" * 64}
    following = {"name": "Shop CA 2027", "sha256": "b" * 64, "takes_over": str(day)}
    before = {"name": "Shop CA 2025", "sha256": "c" * 64, "until": str(day)}
    trust = {"authority": now, "next": following, "former": [before]}
    answer = {**trust, "first_page": "http://192.168.1.5:8001/"}
    reader.serve("**/api/v1/trust", answer)
    page.goto(f"{phone.origin}/app/#/")
    with page.expect_response("**/api/v1/trust"):
        page.reload()
    phone.wait_for_sync("server")
    expect(page.locator("[data-authority]")).to_have_count(2)
    reader.look("certificates")
    phone.context.route("**/api/v1/sync/**", lambda route: route.abort())
    page.goto(f"{phone.origin}/app/#/storage")
    reader.tap("phone-storage-now")
    expect(page.locator(".wrong")).to_be_visible()
    reader.look("storage: nobody answers")
    reader.unroute("**/api/v1/sync/**")
    page.clock.set_system_time(datetime.now(UTC) + timedelta(days=3))
    reader.tap("phone-storage-now")
    expect(page.locator(".clock")).to_be_visible()
    reader.look("a clock that is off")


def _failures(reader: Reader) -> None:
    """No room, no judge, a storage that is gone, one of app 0.1."""
    phone, page = reader.phone, reader.page
    card = phone.card("accident.water")
    page.evaluate(NO_ROOM)
    card.locator(".choice").first.tap()
    expect(page.locator(".alarm")).to_be_visible()
    reader.look("not saved")
    page.evaluate(ROOM)
    phone.context.route("**/api/v1/judge/*.json", lambda route: route.abort())
    phone.reopen()
    reader.page = page = phone.page
    expect(page.locator(".trouble")).to_be_visible()
    reader.look("no ratings")
    reader.unroute("**/api/v1/judge/*.json")
    phone.reopen()
    reader.page = page = phone.page
    phone.wait_for_sync("server")
    phone.context.route("**/api/v1/sync/**", lambda route: route.abort())
    phone.card("accident.water").locator(".choice").first.tap()
    phone.wait_for_sync("phone")
    clear_storage(phone)
    expect(page.locator(".gone")).to_be_visible()
    reader.look("storage gone")
    page.locator("footer button.main").tap()
    reader.unroute("**/api/v1/sync/**")
    page.goto(f"{phone.origin}/app/#/")
    phone.wait_for_sync("server")
    reader.look("storage was gone")
    page.goto(f"{phone.origin}/app/mark.svg")
    clear_storage(phone)
    page.evaluate(OLD_STORE)
    phone.open()
    page.locator("main button").tap()
    reader.look("stored by 0.1")


def test_no_screen_has_a_word_that_the_catalogue_did_not_say(reader: Reader) -> None:
    for scene in (_begin, _facts, _cards, _map, _decision, _trouble, _capture, _signing):
        scene(reader)
    recorded = reader.phone.events()
    for scene in (_refusals, _pairing):
        scene(reader)
    _notices(reader)
    _failures(reader)
    assert reader.seen > 2_000, "the screens were looked at"
    assert reader.found == {}
    assert shown_words(recorded) == [], "a record holds ids, so that others read it in their words"
    chips = [event["value"] for event in recorded if event["put"] == "items/rust.arches/why"]
    assert {"term": "chip-not-dark"} in chips


def test_a_plain_word_is_found_and_what_was_typed_is_not() -> None:
    assert plain_words(["Fuel", marked("Fuel"), f"{marked('Fuel')}: Tarn, 3", "1 A"]) == ["Fuel"]
