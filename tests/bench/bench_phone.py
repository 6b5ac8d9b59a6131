"""The phone at a quarter of this machine's speed: cold start without a network, and a tap.

10,000 events and 60 photos lie in the phone's store; the server is dead. The whole browser is
slowed, not the page's main thread alone (the worker that judges and the process that stores would
run at full speed): its processes are stopped for three quarters of each 8 ms, and a counting loop
in the page says how much slower it really is. Goals: 1 s and 50 ms (p95).
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

from playwright.sync_api import Browser, Page, sync_playwright

from tests.bench.figures import write
from tests.log.writer import Writer
from tests.phone.phone import LAUNCH, Phone, picture
from tests.phone.server import Server

EVENTS, PHOTOS, STARTS, TAPS = 10_000, 60, 7, 40
SLOWER = 4
PERIOD_S = 0.008
COUNTING = """
(() => {
  const start = performance.now();
  let count = 0;
  while (performance.now() - start < 400) count += 1;
  return count;
})()
"""


@contextlib.contextmanager
def slowed(browser: Browser) -> Iterator[None]:
    devtools = browser.new_browser_cdp_session()
    over = threading.Event()

    def processes() -> list[int]:
        return [one["id"] for one in devtools.send("SystemInfo.getProcessInfo")["processInfo"]]

    # a page opened later has a process of its own: all descendants count, found by the system
    root = next(
        one["id"]
        for one in devtools.send("SystemInfo.getProcessInfo")["processInfo"]
        if one["type"] == "browser"
    )

    def family() -> list[int]:
        parents: dict[int, int] = {}
        for entry in Path("/proc").iterdir():
            if entry.name.isdigit():
                with contextlib.suppress(OSError, IndexError, ValueError):
                    parents[int(entry.name)] = int(
                        (entry / "stat").read_text().rsplit(")", 1)[1].split()[1]
                    )
        found = {root}
        for _ in range(6):
            found |= {child for child, parent in parents.items() if parent in found}
        return sorted(found)

    def signal_all(pids: list[int], what: signal.Signals) -> None:
        for pid in pids:
            with contextlib.suppress(ProcessLookupError):
                os.kill(pid, what)

    def cycle() -> None:
        pids, refreshed = family(), time.monotonic()
        ran = PERIOD_S / SLOWER
        while not over.is_set():
            if time.monotonic() - refreshed > 0.1:
                pids, refreshed = family(), time.monotonic()
            signal_all(pids, signal.SIGSTOP)
            # a busy machine wakes this thread late: what they ran is paid back in full
            time.sleep(ran * (SLOWER - 1))
            began = time.monotonic()
            signal_all(pids, signal.SIGCONT)
            time.sleep(PERIOD_S / SLOWER)
            ran = time.monotonic() - began
        signal_all(family(), signal.SIGCONT)

    assert processes()
    thread = threading.Thread(target=cycle, daemon=True)
    thread.start()
    try:
        yield
    finally:
        over.set()
        thread.join()


def fill(server: Server, visit: str, items: list[str]) -> None:
    """Ten thousand events by another phone, sent as a phone sends them."""
    chance = random.Random(4)
    device = f"{chance.getrandbits(128):032x}"
    writer = Writer(device, visit, ms=1_764_052_703_000)
    last: dict[str, str] = {}
    for _ in range(EVENTS):
        put = f"items/{chance.choice(items)}/{chance.choice(['note', 'text', 'note', 'grade'])}"
        value: Any = {"grade": "none"} if put.endswith("grade") else f"seen {chance.random():.6f}"
        event = writer.put(put, value, [last[put]] if put in last else [])
        last[put] = event["at"]
    ask = {"device": device, "name": "the other phone"}
    answer, cookie = post(server, "/api/v1/pairing", ask)
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


WHEN_TAPPABLE = """
new MutationObserver((_changes, observer) => {
  if (document.querySelector("[data-item] .answers .choice") === null) return;
  observer.disconnect();
  // drawn, and the thread is free to take a tap
  requestAnimationFrame(() => setTimeout(() => { window.tappable = performance.now(); }));
}).observe(document, { childList: true, subtree: true });
"""

# An answer whose grade is not the one shown, on the n-th card that is graded by its choices: it is
# stored when it shows as pressed, and judged when the card shows its grade.
TAP = """
(n) => {
  const cards = [...document.querySelectorAll("[data-item]")]
    .filter((card) => card.querySelectorAll(".answers:not(.grades) .choice").length > 2);
  const card = cards[n % cards.length];
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


def start(phone: Phone) -> float:
    phone.close()
    phone.page.add_init_script(WHEN_TAPPABLE)
    phone.page.goto(f"{phone.origin}/app/#/visit/{phone.visit}/stage/underneath")
    phone.wait_until(lambda: phone.page.evaluate("window.tappable ?? 0") > 0)
    return float(phone.page.evaluate("window.tappable"))


def tap(page: Page, number: int) -> float:
    taken = float(page.evaluate(TAP, number))
    page.wait_for_timeout(600)
    return taken


def main() -> None:
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        browser = playwright.chromium.launch(**LAUNCH)
        server = Server(Path(folder) / "data")
        server.start()
        try:
            phone = Phone(browser, server.origin)
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
            server.kill()
            start(phone)
            full_speed = max(phone.page.evaluate(COUNTING) for _ in range(5))
            fast = [start(phone) for _ in range(STARTS)]
            fast_taps = [tap(phone.page, n) for n in range(10)]
            with slowed(browser):
                counted = [phone.page.evaluate(COUNTING) for _ in range(5)]
                ratio = full_speed / statistics.median(counted)
                starts = [start(phone) for _ in range(STARTS)]
                phone.page.wait_for_timeout(4_000)
                taps = [tap(phone.page, n) for n in range(TAPS)]
            print(sorted(round(t) for t in taps))
            held = len(phone.events())
        finally:
            server.kill()
            browser.close()
    taps.sort()
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
            {
                "what": "tap to stored and judged",
                "slowed_p95_ms": round(taps[int(len(taps) * 0.95)], 1),
                "slowed_median_ms": round(statistics.median(taps), 1),
                "full_speed_ms": round(statistics.median(fast_taps), 1),
                "goal_p95_ms": 50,
                "runs": TAPS,
            },
        ],
        events=held,
        photos=PHOTOS,
        measured_slow_down=round(ratio, 2),
    )


if __name__ == "__main__":
    main()
