"""The phone at a quarter of this machine's speed: cold start without a network, taps, readings.

10,000 events and 60 photos lie in the phone's store, on a real disk; the server is dead. The whole
browser is slowed, not the page's main thread alone (the worker that judges and the process that
stores would run at full speed): its processes are stopped for most of each 8 ms. A counting loop
in the page says how much slower it really is, and the share is adjusted until it says four times.
A start begins with no page and no service worker running. Goals: 1 s; 50 ms (p95) from tap to
stored and judged; 30 ms for the judging alone, from the question that the page puts to the answer
that it has read, worker included.
"""

from __future__ import annotations

import contextlib
import json
import os
import random
import signal
import statistics
import tempfile
import threading
import time
import urllib.request
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from playwright.sync_api import Page, Playwright, sync_playwright

from bradawl.common.device_keys import DeviceKey
from tests.bench.measuring.figures import write
from tests.log.writer import Writer, id_of
from tests.phone.phone import LAUNCH, SIZE, Phone, open_rows, picture
from tests.phone.server import Server
from tests.writing import pairing_wish

EVENTS, PHOTOS, STARTS, TAPS, READINGS, FILM = 10_000, 60, 9, 60, 30, 36
SLOWER = 4.0
PERIOD_S = 0.008
PAUSES_MS = (600, 900, 1_300, 1_800)  # between taps: the whole visit is judged in some of them
COUNTING = """
(() => {
  const start = performance.now();
  let count = 0;
  while (performance.now() - start < 300) count += 1;
  return count;
})()
"""


class KeptPhone(Phone):
    """A phone whose storage lies on a disk: what is stored costs what it costs there."""

    def __init__(self, playwright: Playwright, origin: str, folder: Path) -> None:
        self.origin = origin
        self.folder = folder
        self.context = playwright.chromium.launch_persistent_context(
            str(folder), viewport=SIZE, has_touch=True, is_mobile=True, **LAUNCH
        )
        self.context.set_default_timeout(15_000)
        self.page = self.context.new_page()
        self.visit = ""
        self.errors = []
        self.taps = 0
        self._watch(self.page)

    def close(self) -> None:
        """Close the app, its service worker as well."""
        devtools = self.context.new_cdp_session(self.page)
        devtools.send("ServiceWorker.enable")
        devtools.send("ServiceWorker.stopAllWorkers")
        super().close()

    def family(self) -> list[int]:
        """Every process of its browser."""
        mark = f"--user-data-dir={self.folder}".encode()
        parents: dict[int, int] = {}
        found: set[int] = set()
        for entry in Path("/proc").iterdir():
            if entry.name.isdigit():
                with contextlib.suppress(OSError, IndexError, ValueError):
                    pid = int(entry.name)
                    stat = (entry / "stat").read_text().rsplit(")", 1)[1].split()
                    parents[pid] = int(stat[1])
                    if mark in (entry / "cmdline").read_bytes().split(b"\0"):
                        found.add(pid)
        for _ in range(6):
            found |= {child for child, parent in parents.items() if parent in found}
        return sorted(found)


class Slowness:
    """How many times slower the browser is asked to be; set while it runs."""

    def __init__(self, phone: KeptPhone) -> None:
        self.asked = SLOWER
        self._phone = phone
        self._full = max(phone.page.evaluate(COUNTING) for _ in range(7))

    def measured(self, runs: int = 7) -> float:
        counted = [self._phone.page.evaluate(COUNTING) for _ in range(runs)]
        return float(self._full / statistics.median(counted))

    def calibrate(self) -> float:
        """Ask for what turns out to be SLOWER; returns what it turned out to be."""
        for _ in range(6):
            measured = self.measured()
            if abs(measured / SLOWER - 1) < 0.02:
                break
            self.asked = min(12.0, max(1.5, self.asked * SLOWER / measured))
        return self.measured()


@contextlib.contextmanager
def slowed(phone: KeptPhone) -> Iterator[Slowness]:
    slowness = Slowness(phone)
    over = threading.Event()

    def signal_all(pids: list[int], what: signal.Signals) -> None:
        for pid in pids:
            with contextlib.suppress(ProcessLookupError):
                os.kill(pid, what)

    def cycle() -> None:
        pids, refreshed = phone.family(), time.monotonic()
        ran = PERIOD_S / slowness.asked
        while not over.is_set():
            # a page opened later has a process of its own
            if time.monotonic() - refreshed > 0.1:
                pids, refreshed = phone.family(), time.monotonic()
            signal_all(pids, signal.SIGSTOP)
            # a busy machine wakes this thread late: what they ran is paid back in full
            time.sleep(ran * (slowness.asked - 1))
            began = time.monotonic()
            signal_all(pids, signal.SIGCONT)
            time.sleep(PERIOD_S / slowness.asked)
            ran = time.monotonic() - began
        signal_all(phone.family(), signal.SIGCONT)

    assert phone.family()
    thread = threading.Thread(target=cycle, daemon=True)
    thread.start()
    try:
        yield slowness
    finally:
        over.set()
        thread.join()


def fill(server: Server, visit: str, items: list[str]) -> None:
    """Ten thousand events by another phone, sent as a phone sends them."""
    chance = random.Random(4)
    key = DeviceKey.derived(b"the other phone")
    writer = Writer(key, visit, ms=1_764_052_703_000)
    last: dict[str, str] = {}
    for _ in range(EVENTS):
        put = f"items/{chance.choice(items)}/{chance.choice(['note', 'text', 'note', 'grade'])}"
        value: Any = {"grade": "none"} if put.endswith("grade") else f"seen {chance.random():.6f}"
        event = writer.put(put, value, [last[put]] if put in last else [])
        last[put] = id_of(event)
    answer, cookie = post(server, "/api/v1/pairing", pairing_wish(key, "the other phone"))
    assert answer["state"] == "approved"
    for start in range(1, EVENTS + 1, 1_000):
        post(server, "/api/v1/sync/push", writer.batch(start, start + 999), cookie)


def post(server: Server, path: str, body: Any, cookie: str = "") -> tuple[Any, str]:
    request = urllib.request.Request(
        server.origin + path,
        json.dumps(body).encode(),
        {"Content-Type": "application/json", "Cookie": cookie, "Origin": server.origin},
    )
    with urllib.request.urlopen(request, timeout=60) as answer:
        return json.load(answer), (answer.headers["Set-Cookie"] or "").split(";")[0]


WATCHED = """
window.tappable = new Promise((resolve) => {
  const observer = new MutationObserver(() => {
    if (document.querySelector("[data-item] .choice") === null) return;
    observer.disconnect();
    // drawn, and the thread is free to take a tap
    requestAnimationFrame(() => setTimeout(() => resolve(performance.now())));
  });
  observer.observe(document, { childList: true, subtree: true });
});
window.judged = [];
new PerformanceObserver((list) => {
  for (const { duration } of list.getEntriesByName("judge item")) window.judged.push(duration);
}).observe({ entryTypes: ["measure"] });
"""

# An answer whose grade is not the one shown, on the n-th card that is graded by its choices: it is
# stored when it shows as pressed, and judged when the card shows its grade.
SHOW = """
(n) => {
  const cards = [...document.querySelectorAll("[data-item]")]
    .filter((card) => card.querySelectorAll(".answers:not(.grades) .choice").length > 2);
  window.card = cards[n % cards.length];
  window.card.scrollIntoView({ block: "center" });
}
"""
TAP = """
() => {
  const card = window.card;
  const grades = ["none", "minor", "major", "dangerous"].filter((g) => g !== card.dataset.grade);
  const grade = grades.find((g) => card.querySelector(`.answers:not(.grades) .choice-${g}`));
  const button = card.querySelector(`.answers:not(.grades) .choice-${grade}`);
  return new Promise((resolve) => {
    const look = () => {
      if (card.dataset.grade !== grade || button.getAttribute("aria-pressed") !== "true") return;
      observer.disconnect();
      resolve(performance.now() - start);
    };
    const observer = new MutationObserver(look);
    observer.observe(card, { childList: true, subtree: true, attributes: true });
    const start = performance.now();
    button.click();
  });
}
"""

# A figure is typed into the n-th field of the page's readings, or of one item's.
TYPE = """
([item, n, text]) => {
  const inside = item === null ? "[data-item]" : `[data-item="${item}"]`;
  const fields = [...document.querySelectorAll(`${inside} .reading input`)]
    .filter((field) => field.inputMode === "decimal");
  const field = fields[n % fields.length];
  field.scrollIntoView({ block: "center" });
  field.value = text;
  field.dispatchEvent(new InputEvent("input", { bubbles: true }));
  return fields.length;
}
"""


def start(phone: Phone) -> float:
    phone.close()
    phone.page.add_init_script(WATCHED)
    phone.page.goto(f"{phone.origin}/app/#/visit/{phone.visit}/stage/underneath")
    return float(phone.page.evaluate("window.tappable"))


def tap(page: Page, number: int) -> float:
    page.evaluate(SHOW, number)
    page.wait_for_timeout(PAUSES_MS[number % len(PAUSES_MS)])
    return float(page.evaluate(TAP))


def judged(page: Page) -> list[float]:
    """How long the judgements since the last call took."""
    return [float(took) for took in page.evaluate("window.judged.splice(0)")]


def type_reading(page: Page, item: str | None, number: int, text: str) -> int:
    count = int(page.evaluate(TYPE, [item, number, text]))
    page.wait_for_timeout(1_000)  # typed, judged; a pause, recorded, judged again
    return count


def prepare(phone: KeptPhone, server: Server) -> None:
    """A visit with the photos and the events in it, all of them on the phone."""
    phone.open()
    phone.wait_for_sync("server")
    phone.wait_for_worker()
    phone.begin(make="Tarn")
    card = phone.card("rust.arches")
    card.locator(".choice").nth(3).tap()
    for seed in range(PHOTOS):
        phone.add_photo(card, picture(seed, (1600, 1200)))
        phone.wait_until(lambda seed=seed: card.locator(".photo").count() > seed)  # type: ignore[misc]
    phone.wait_for_sync("server", 120_000)
    items = phone.page.evaluate(
        "fetch('/api/v1/offline').then((a) => a.json()).then((a) => fetch(a.checklists))"
        ".then((a) => a.json()).then((a) => a.items.filter((i) => i.depth !== 'thorough'"
        " && i.stage !== 'underneath').map((i) => i.id))"
    )
    fill(server, phone.visit, items)
    phone.page.reload()
    phone.wait_until(lambda: len(phone.events()) > EVENTS)
    phone.wait_for_sync("server", 120_000)
    phone.page.wait_for_timeout(5_000)


def film_card(phone: KeptPhone) -> None:
    """The card of film thickness with a reading at each of its places."""
    page = phone.page
    page.goto(f"{phone.origin}/app/#/visit/{phone.visit}/stage/outside/accident.paint-film")
    card = page.locator('[data-item="accident.paint-film"]')
    card.get_by_role("button", name="Paint film").first.tap()
    for number in range(FILM):
        page.evaluate(TYPE, ["accident.paint-film", number, str(105 + number % 7)])
    page.wait_for_timeout(4_000)


def quantile(values: list[float], share: float) -> float:
    return round(sorted(values)[min(len(values) - 1, int(len(values) * share))], 1)


def spread(what: str, values: list[float], goal_ms: float, **more: Any) -> dict[str, Any]:
    return {
        "what": what,
        "slowed_p95_ms": quantile(values, 0.95),
        "slowed_median_ms": round(statistics.median(values), 1),
        **more,
        "goal_p95_ms": goal_ms,
        "runs": len(values),
    }


def measure(phone: KeptPhone) -> None:
    """All figures of a phone that holds what it should and whose server is dead."""
    page = phone.page
    start(phone)
    fast = [start(phone) for _ in range(STARTS)]
    phone.page.wait_for_timeout(4_000)
    open_rows(phone.page)
    fast_taps = [tap(phone.page, n) for n in range(12)]
    fast_judged = judged(phone.page)
    with slowed(phone) as slowness:
        before = slowness.calibrate()
        starts = [start(phone) for _ in range(STARTS)]
        page = phone.page
        page.wait_for_timeout(4_000)
        open_rows(page)
        judged(page)
        taps = [tap(page, n) for n in range(TAPS)]
        of_taps = judged(page)
        page.goto(f"{phone.origin}/app/#/visit/{phone.visit}/stage/outside")
        page.wait_for_timeout(2_000)
        open_rows(page)
        judged(page)
        for n in range(READINGS):
            type_reading(page, None, n, f"{3 + n % 4}.{n % 10}")
        of_readings = judged(page)
        film_card(phone)
        judged(page)
        for n in range(READINGS):
            type_reading(page, "accident.paint-film", n, str(98 + n % 9))
        of_film = judged(page)
        after = slowness.measured()
    print("starts", sorted(round(t) for t in starts))
    print("taps", sorted(round(t) for t in taps))
    write(
        "phone",
        [
            {
                "what": "cold offline start to tappable",
                "slowed_ms": round(statistics.median(starts)),
                "slowest_ms": round(max(starts)),
                "full_speed_ms": round(statistics.median(fast)),
                "goal_ms": 1_000,
                "runs": STARTS,
            },
            spread(
                "tap to stored and judged",
                taps,
                50,
                full_speed_ms=round(statistics.median(fast_taps), 1),
            ),
            spread(
                "judging alone, of a tap",
                of_taps,
                30,
                full_speed_ms=round(statistics.median(fast_judged), 1),
            ),
            spread("judging alone, of a reading", of_readings, 30),
            spread(f"judging alone, of a film of {FILM} readings", of_film, 30),
        ],
        events=len(phone.events()),
        photos=PHOTOS,
        asked_slow_down=round(slowness.asked, 2),
        measured_slow_down=[round(before, 2), round(after, 2)],
    )


def main() -> None:
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        server = Server(Path(folder) / "data")
        server.start()
        phone = KeptPhone(playwright, server.origin, Path(folder) / "phone")
        try:
            prepare(phone, server)
            server.kill()
            measure(phone)
        finally:
            server.kill()
            phone.context.close()


if __name__ == "__main__":
    main()
