"""A phone in a hand: one browser context is one phone's storage, however often the app is closed.

The words and hooks that it looks for are those of `web/README.md`.
"""

from __future__ import annotations

import io
import json
import os
import random
import re
import signal
import time
from collections.abc import Callable
from typing import Any

from PIL import Image, ImageDraw
from playwright.sync_api import Browser, BrowserContext, Error, Locator, Page, expect

from tests.browsing import (
    ARGUMENTS,
    CAMERA_ALLOWED,
    CHROMIUM,
    FAKE_CAMERA,
    PATIENCE_MS,
    look_at_cars,
    opened,
    place_of,
)

LAUNCH: dict[str, Any] = {
    "executable_path": CHROMIUM,
    "args": [*ARGUMENTS, FAKE_CAMERA, CAMERA_ALLOWED],
}
SIZE = {"width": 390, "height": 844}
#: How requests under way fail when the browser takes the storage away; the app's screen says that.
_TORN = {
    "The connection was closed.",
    "The transaction was aborted, so the request cannot be fulfilled.",
}


class Phone:
    #: In Europe unless a test says otherwise: lengths begin in millimeters there.
    #: What it answers to the first question; None leaves that unanswered.
    region: str | None = "eu"

    #: Whether the browser has taken away what was stored while the app ran.
    is_torn = False

    def __init__(
        self, browser: Browser, origin: str, region: str | None = "eu", **options: Any
    ) -> None:
        self.origin = origin
        self.region = region
        self._browser = browser
        self.context: BrowserContext = opened(
            browser,
            viewport=options.pop("viewport", SIZE),
            has_touch=True,
            is_mobile=True,
            **options,
        )
        self.page: Page = self.context.new_page()
        self.visit = ""
        self.errors: list[str] = []
        self.taps = 0
        self._watch(self.page)

    def _watch(self, page: Page) -> None:
        def note(problem: Error) -> None:
            if not (self.is_torn and problem.message in _TORN):
                self.errors.append(problem.stack or str(problem))

        page.on("pageerror", note)

    def throw_away(self) -> None:
        self.context.close()
        assert not self.errors, self.errors

    # the app

    def open(self) -> Page:
        """Open the app as from the home screen; a new phone asks where the person looks at cars."""
        self.page.goto(f"{self.origin}/app/")
        expect(self.page.locator("h1")).to_be_visible()
        if self.region and self.page.locator("[data-region]").count():
            look_at_cars(self.page, self.region)
        return self.page

    def put_down(self, *, sent: bool = True) -> None:
        """Between two tests: at the list of cars, with nothing of the last one, and all `sent`."""
        assert not self.errors, self.errors
        for page in self.context.pages:
            if page is not self.page:
                page.close()
        self.page.set_viewport_size(SIZE)
        self.page.goto(f"{self.origin}/app/#/")
        expect(self.page.get_by_role("button", name="Start a car")).to_be_visible()
        if sent and self.sync_state() != "server":
            # whose server was gone asks again only after a while; without its place stored first,
            # the app would return to where the last test was
            self.wait_until(lambda: (self.meta("place") or {"route": "#/"})["route"] == "#/")
            self.page.reload()
            self.wait_for_sync("server")
        self.visit, self.taps = "", 0

    def close(self) -> None:
        """Close the app; what it stored stays."""
        self.page.close()
        self.page = self.context.new_page()
        self._watch(self.page)

    def reopen(self) -> Page:
        self.close()
        return self.open()

    def crash(self) -> None:
        """The system takes the page's memory away, as it does when a camera needs it."""
        devtools = self._browser.new_browser_cdp_session()
        processes = devtools.send("SystemInfo.getProcessInfo")["processInfo"]
        devtools.detach()
        with self.page.expect_event("crash"):
            for process in processes:
                if process["type"] == "renderer":
                    os.kill(process["id"], signal.SIGKILL)
        self.close()

    def wait_for_worker(self) -> None:
        """Until the app can start without a network."""
        self.page.evaluate("navigator.serviceWorker.ready.then(() => true)")

    def wait_for_sync(self, state: str, timeout: int = PATIENCE_MS) -> None:
        line = self.page.locator("a.sync")
        expect(line).to_have_attribute("data-state", state, timeout=timeout)

    def sync_state(self) -> str | None:
        """What the line at the top stands for."""
        return self.page.locator("a.sync").get_attribute("data-state")

    def be_approved(self, as_what: str = "a phone we know") -> None:
        """At the desk: even on the server's own machine a phone that is known must be approved.

        It has asked by itself, and the screen goes on with that request.
        """
        self.wait_until(lambda: self.meta("pairing") is not None)
        self.page.locator("a.sync").tap()
        code = self.page.locator(".code dd").first.inner_text()
        desk = self.context.new_page()
        desk.goto(f"{self.origin}/desk/devices/add")
        desk.get_by_label("Code on the phone").fill(code)
        desk.get_by_role("button", name="Find the phone").click()
        expect(desk.locator(".claim")).to_contain_text(as_what)
        desk.get_by_label("in my hand").check()
        desk.get_by_role("button", name="Words match").click()

    def unsent(self) -> int:
        """How many entries and photos the line at the top counts as unsent."""
        return int(self.page.locator("a.sync").get_attribute("data-unsent") or 0)

    def wait_until(self, holds: Callable[[], bool], timeout_s: float = 180) -> None:
        """Poll from here: the page's content policy lets no test poll by text within it."""
        deadline = time.monotonic() + timeout_s
        while not holds():
            assert time.monotonic() < deadline, "it never came to hold"
            self.page.wait_for_timeout(50)

    def wait_until_still(self) -> None:
        """Until nothing of the page has changed for a fifth of a second, and it was painted."""
        self.page.evaluate(_STILL)

    def wait_for_judge(self) -> None:
        """Until the whole visit, as it stands now, is judged and shown.

        Asked within the page: from here each question takes as long as the judging of a tap.
        """
        self.page.evaluate(_UNTIL_JUDGED, self.visit)

    def whole_page(self) -> None:
        """Until all cards are drawn: the first few come at once, the others behind them."""

        def drawn() -> bool:
            count = self.page.locator(".above").inner_text().rpartition("/")[2]
            return self.page.locator("main [data-item]").count() == int(count)

        self.wait_until(drawn)

    def decide(self) -> None:
        """To the decision, with everything that it rests on unfolded."""
        self.go("kerb")
        folded = self.page.locator(".fold:not([open]) > summary")
        expect(folded.first).to_be_visible()
        self.page.evaluate(
            "for (const one of document.querySelectorAll('.fold, details.group')) one.open = true"
        )

    def every_card(self) -> None:
        """All items of the page as cards: each row is opened, as by its name."""
        self.whole_page()
        open_rows(self.page)

    def go(self, path: str) -> None:
        """To a screen of the visit at hand; "" is the walk."""
        rest = f"/{path}" if path else ""
        self.page.goto(f"{self.origin}/app/#/visit/{self.visit}{rest}")
        expect(self.page.locator("h1")).to_be_visible()

    def tap(self, target: Locator) -> None:
        target.tap()
        self.taps += 1

    # a visit

    def begin(self, **facts: str) -> str:
        self.tap(self.page.get_by_role("button", name="Start a car"))
        expect(self.page.get_by_label("Make", exact=True)).to_be_visible()
        found = re.search(r"visit/([0-9a-f]{32})", self.page.url)
        assert found is not None
        self.visit = found[1]
        # what the first screen doesn't ask for stands among the car's details
        self.go("facts")
        expect(self.page.get_by_label("Make", exact=True)).to_be_visible()
        for label, text in facts.items():
            words = label.replace("_", " ").capitalize()
            field = self.page.get_by_label(re.compile(rf"^{words}( \(|$)"))
            field.fill(text)
            field.blur()
            # money is told as it is written: $2,400
            shown = re.escape(text) if not text.isdigit() else f"{int(text):,}".replace(",", ".?")
            expect(self.status()).to_contain_text(re.compile(shown))
        return self.visit

    def card(self, item: str) -> Locator:
        """The card of an item, on the page of its area."""
        self.go(f"area/{item.partition('.')[0]}/{item}")
        card = self.page.locator(f'[data-item="{item}"]')
        expect(card).to_be_visible()
        return card

    def in_millimeters(self, card: Locator) -> None:
        """Turn a card's lengths to millimeters, whatever its region measures them in."""
        if card.get_by_role("button", name="Unit: mm").count() == 0:
            card.get_by_role("button", name=re.compile("^Unit: ")).first.tap()

    def sign(self, name: str, place: str) -> None:
        """Lock the visit, with a finger's signature, and wait until it is sealed."""
        self.go("seal")
        self.wait_for_judge()  # it says how many are open
        self.page.get_by_text("Sign with a finger too").tap()
        self.page.get_by_label("Your name").fill(name)
        self.page.get_by_label("Where you are").fill(place)
        self.draw_signature()
        self.page.get_by_role("button", name=re.compile("^Lock it")).tap()
        expect(self.page.locator(".sealed").first).to_contain_text(name)

    def draw_signature(self) -> None:
        sheet = self.page.locator(".signature canvas")
        sheet.scroll_into_view_if_needed()
        box = place_of(sheet)
        self.page.mouse.move(box["x"] + 30, box["y"] + 60)
        self.page.mouse.down()
        self.page.mouse.move(box["x"] + 150, box["y"] + 30, steps=8)
        self.page.mouse.up()

    def status(self) -> Locator:
        return self.page.locator(".notice p")

    def add_photo(self, card: Locator, picture: bytes, name: str = "IMG_1.jpg") -> None:
        kind = "image/heic" if name.endswith("heic") else "image/jpeg"
        card.locator('input[type="file"]').last.set_input_files(
            {"name": name, "mimeType": kind, "buffer": picture}
        )

    def log(self) -> list[dict[str, Any]]:
        """Every event in this phone's store, by device and seq; with its value beside its text."""
        return read_events(self.page)

    def events(self) -> list[dict[str, Any]]:
        """Those of the visit at hand."""
        return [event for event in self.log() if event["scope"] == f"inspection/{self.visit}"]

    def checklist(self) -> dict[str, Any]:
        """The bundle that a visit begun now would use."""
        found: dict[str, Any] = self.page.evaluate(
            "fetch('/api/v1/offline').then((answer) => answer.json())"
            ".then(({ checklists }) => fetch(checklists)).then((answer) => answer.json())"
        )
        return found

    def device(self) -> str:
        """The id of this phone's own device."""
        return str(self.meta("own")["device"])

    def meta(self, key: str) -> Any:
        """A small fact that this phone keeps (web/src/store/facts.ts); None if it does not."""
        return self.page.evaluate(_READ, "meta").get(key)

    def cards(self) -> list[dict[str, Any]]:
        """What this phone knows of each photo."""
        return self.rows("cards")

    def rows(self, store: str) -> list[dict[str, Any]]:
        """All rows of one of this phone's stores (web/src/store/database.ts)."""
        found: list[dict[str, Any]] = self.page.evaluate(_READ, store)
        return found


def open_rows(page: Page) -> None:
    """Make cards of the rows that are drawn."""
    page.evaluate("for (const name of document.querySelectorAll('.item-name')) name.click()")
    expect(page.locator(".item-name")).to_have_count(0)


_READ = """
async (store) => {
  const open = await new Promise((resolve, reject) => {
    const request = indexedDB.open("bradawl");
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
  const rows = await new Promise((resolve, reject) => {
    const request = open.transaction(store).objectStore(store).getAll();
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
  const keys = await new Promise((resolve, reject) => {
    const request = open.transaction(store).objectStore(store).getAllKeys();
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
  open.close();
  if (store === "meta") {
    // a private key does not leave the page
    for (const row of rows) if (row?.private) delete row.private;
    return Object.fromEntries(keys.map((key, n) => [key, rows[n]]));
  }
  return rows.map(({ bytes, thumb, ...rest }) => rest);
}
"""


def read_events(page: Page) -> list[dict[str, Any]]:
    """Every event in a phone's store, by device and seq; `text` is its value as it was recorded."""
    found: list[dict[str, Any]] = page.evaluate(_READ, "events")
    return [
        {**event, "text": event.get("value"), "value": json.loads(event.get("value", "null"))}
        for event in found
    ]


def is_judged(page: Page, visit: str) -> bool:
    """Whether the judgement of the whole visit is that of its latest entry."""
    judged: bool = page.evaluate(_JUDGED, visit)
    return judged


# asked again and again: what a whole visit's judgement says stays in the page
_JUDGED = """
async (visit) => {
  const open = await new Promise((resolve, reject) => {
    const request = indexedDB.open("bradawl");
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
  const rows = (store) => new Promise((resolve, reject) => {
    const request = open.transaction(store).objectStore(store).getAll();
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
  const scope = `inspection/${visit}`;
  const stamps = (await rows("events")).filter((one) => one.scope === scope).map(({ at }) => at);
  if (stamps.length === 0) throw new Error(`nothing was recorded of ${visit}`);
  const last = stamps.reduce((latest, at) => (at > latest ? at : latest));
  const kept = await rows("assessments");
  open.close();
  return kept.some((one) => one.visit === visit && one.stamp === last);
}
"""

_UNTIL_JUDGED = f"""
async (visit) => {{
  const isJudged = {_JUDGED};
  const last = Date.now() + 180_000;
  while (!(await isJudged(visit))) {{
    if (Date.now() > last) throw new Error("it was never judged");
    await new Promise((resolve) => setTimeout(resolve, 150));
  }}
}}
"""

_STILL = """() => new Promise((resolve) => {
  let waiting;
  const watch = new MutationObserver(later);
  function later() {
    clearTimeout(waiting);
    waiting = setTimeout(() => {
      watch.disconnect();
      requestAnimationFrame(() => requestAnimationFrame(resolve));
    }, 200);
  }
  const everything = { subtree: true, childList: true, attributes: true, characterData: true };
  watch.observe(document, everything);
  later();
})"""

#: From now on no write to the store finds room, said as the browser would; then again it does.
NO_ROOM = """
// a throw within a request leaves the end of its transaction to nobody, in the library around it
addEventListener("unhandledrejection", (event) => {
  if (event.reason.name === "AbortError") event.preventDefault();
});
for (const name of ["add", "put"]) {
  IDBObjectStore.prototype[`real_${name}`] = IDBObjectStore.prototype[name];
  IDBObjectStore.prototype[name] = function () {
    this.transaction.abort();
    throw new DOMException("no room", "QuotaExceededError");
  };
}
0
"""

ROOM = """
for (const name of ["add", "put"]) {
  IDBObjectStore.prototype[name] = IDBObjectStore.prototype[`real_${name}`];
}
0
"""


def picture(seed: int, size: tuple[int, int] = (640, 480), **save: Any) -> bytes:
    """A drawn JPEG, different for each seed."""
    chance = random.Random(seed)
    drawn = Image.new("RGB", size, tuple(chance.randrange(40, 220) for _ in range(3)))
    pen = ImageDraw.Draw(drawn)
    for _ in range(12):
        x, y = chance.randrange(size[0]), chance.randrange(size[1])
        box = (x, y, x + size[0] // 5, y + size[1] // 5)
        pen.ellipse(box, fill=tuple(chance.randrange(256) for _ in range(3)))
    out = io.BytesIO()
    drawn.save(out, "JPEG", quality=80, **save)
    return out.getvalue()


def clear_storage(phone: Phone) -> None:
    """What the browser does when somebody clears the site's data, or it makes room."""
    phone.is_torn = True
    devtools = phone.context.new_cdp_session(phone.page)
    devtools.send(
        "Storage.clearDataForOrigin", {"origin": phone.origin, "storageTypes": "indexeddb"}
    )
    devtools.detach()


#: A database as app 0.1 left it.
OLD_STORE = """
() => new Promise((resolve, reject) => {
  const request = indexedDB.open("bradawl", 1);
  request.onupgradeneeded = () => {
    const events = request.result.createObjectStore("events", { keyPath: ["device", "seq"] });
    events.put({ device: "d1".repeat(16), seq: 1, put: "car/make", value: "Tarn" });
  };
  request.onsuccess = () => { request.result.close(); resolve(); };
  request.onerror = () => reject(request.error);
})
"""
