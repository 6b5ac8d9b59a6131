"""Kills the whole browser again and again while answers are tapped, and compares.

`python -m tests.phone.offline.kill_loop --kills 50 [--seed N]`. One profile on the disk is one
phone. In each life a hand without pause taps answers at random, and after a random moment every
process of Chromium gets a SIGKILL. The app is opened again: each tap that the screen had shown as
pressed is in the phone's log, in order; each card shows the last of them, or the one whose tap was
under way; the chain holds. At the end the server's log is the phone's.
"""

from __future__ import annotations

import argparse
import contextlib
import os
import random
import signal
import sys
import tempfile
import threading
import time
from collections import Counter
from pathlib import Path
from typing import Any

from playwright.sync_api import BrowserContext, Playwright, sync_playwright
from playwright.sync_api import Error as PlaywrightError

from bradawl.common import settings
from bradawl.database.connection import open_engine
from bradawl.log.event_log import Log
from bradawl.log.photos.storage import open_photo_store
from tests.browsing import patient
from tests.phone.offline.test_killed import chain_holds
from tests.phone.phone import LAUNCH, SIZE, Phone
from tests.phone.server import Server

STAGES = ("outside", "underneath", "start")
LONGEST_LIFE_S = 1.5

# Taps one answer after another; says of each when it is tapped, and when the screen shows it.
_HAND = """
async () => {
  const before = new Map();
  const now = () => performance.now();
  for (;;) {
    // not the same button twice within a second: the app takes that for one tap that bounced
    const free = [...document.querySelectorAll(
      '[data-item] .answers:not(.grades) .choice[aria-pressed="false"]')].filter(
      (button) => !(now() - before.get(button) < 1_000));
    const button = free[Math.floor(Math.random() * free.length)];
    const item = button.closest("[data-item]").dataset.item;
    const answer = button.innerText;
    // nothing is tapped that was not heard: with the browser, what it was still to say dies
    await window.tell("tapped", item, answer);
    before.set(button, now());
    button.click();
    const limit = now() + 20_000;
    while (button.getAttribute("aria-pressed") !== "true") {
      if (now() > limit) throw new Error(`${item} never showed ${answer}`);
      await new Promise((resolve) => setTimeout(resolve, 1));
    }
    await window.tell("shown", item, answer);
  }
}
"""

_PRESSED = """
() => [...document.querySelectorAll(
  '[data-item] .answers:not(.grades) .choice[aria-pressed="true"]')].map(
  (button) => [button.closest("[data-item]").dataset.item, button.innerText])
"""


class KilledPhone(Phone):
    """A phone whose browser dies: its storage is the profile's folder, opened anew each time."""

    def __init__(self, playwright: Playwright, profile: Path, origin: str) -> None:
        self.origin = origin
        self.visit = ""
        self.errors: list[str] = []
        self.taps = 0
        self._playwright = playwright
        self._profile = profile
        self.shown: Counter[str] = Counter()  # answers the screen has acknowledged, by item
        self.last: dict[str, str] = {}
        self.under_way: tuple[str, str] | None = None

    def start(self) -> None:
        """Start the browser and open the app."""
        self.context: BrowserContext = self._playwright.chromium.launch_persistent_context(
            self._profile, viewport=SIZE, has_touch=True, is_mobile=True, **LAUNCH
        )
        patient(self.context)
        self.page = self.context.new_page()
        self._watch(self.page)
        self.page.expose_function("tell", self._hear)
        self.open()

    def _hear(self, what: str, item: str, answer: str) -> None:
        if what == "tapped":
            self.under_way = (item, answer)
            self.taps += 1
        else:
            self.under_way = None
            self.shown[item] += 1
            self.last[item] = answer

    def processes(self) -> list[int]:
        """Of the browser on this profile, by the system's own list."""
        wanted = f"--user-data-dir={self._profile}".encode()
        found = []
        for entry in Path("/proc").iterdir():
            if entry.name.isdigit():
                with contextlib.suppress(OSError):
                    if wanted in (entry / "cmdline").read_bytes().split(b"\0"):
                        found.append(int(entry.name))
        return found

    def kill(self) -> None:
        for pid in self.processes():
            with contextlib.suppress(ProcessLookupError):
                os.kill(pid, signal.SIGKILL)

    def live(self, seconds: float) -> None:
        """Tap until the browser is killed after `seconds`."""
        timer = threading.Timer(seconds, self.kill)
        timer.start()
        try:
            self.page.evaluate(_HAND)
        except PlaywrightError as error:
            if "never showed" in str(error):
                raise
        finally:
            timer.join()
        with contextlib.suppress(PlaywrightError):
            self.context.close()
        while self.processes():
            self.kill()
            time.sleep(0.01)

    def answers(self) -> list[str]:
        """The item of every answer in the phone's log."""
        puts = [str(event["put"]).split("/") for event in self.events() if event["value"]]
        return [put[1] for put in puts if put[0] == "items" and put[2] in ("choice", "grade")]

    def compare(self, stage: str) -> None:
        """Hold what the screen and the log say now against what was acknowledged."""
        events = self.log()
        assert chain_holds(events), "the chain is broken"
        stored = Counter(self.answers())
        lost = self.shown - stored
        assert not lost, f"shown as pressed and not in the log: {dict(lost)}"
        extra = sum((stored - self.shown).values())
        assert extra <= (self.under_way is not None), f"{extra} answers that nobody tapped"
        self.go(f"stage/{stage}")
        self.every_card()
        pressed = dict(self.page.evaluate(_PRESSED))
        on_page = {
            card.get_attribute("data-item") for card in self.page.locator("[data-item]").all()
        }
        for item in on_page & set(self.last):
            allowed = {self.last[str(item)]}
            if self.under_way is not None and self.under_way[0] == item:
                allowed.add(self.under_way[1])
            assert pressed.get(item) in allowed, (item, pressed.get(item), allowed)
        # whatever became of the tap under way is known now
        for item, answer in pressed.items():
            if self.under_way == (item, answer) and stored[item] > self.shown[item]:
                self.shown[item] += 1
                self.last[item] = answer
        self.under_way = None


def run(kills: int, seed: int) -> str:
    """The loop; its closing line. Raises AssertionError naming the kill after which it broke."""
    chance = random.Random(seed)
    amid = 0
    with (
        tempfile.TemporaryDirectory() as folder,
        sync_playwright() as playwright,
    ):
        server = Server(Path(folder) / "data")
        phone = KilledPhone(playwright, Path(folder) / "profile", server.origin)
        server.start()
        try:
            phone.start()
            phone.begin(make="Tarn")
            for number in range(kills):
                stage = chance.choice(STAGES)
                phone.go(f"stage/{stage}")
                phone.every_card()
                phone.live(chance.uniform(0.05, LONGEST_LIFE_S))
                amid += phone.under_way is not None
                phone.start()
                try:
                    phone.compare(stage)
                except AssertionError as error:
                    raise AssertionError(f"kill {number} of seed {seed}: {error}") from error
                if number % 10 == 9:
                    print(f"{number + 1} kills", file=sys.stderr)
            phone.wait_until(lambda: phone.sync_state() in ("pair", "server"))
            if phone.sync_state() == "pair":
                # its cookie was not yet on the disk when it was killed
                phone.be_approved()
            phone.wait_for_sync("server")
            own = phone.events()
            phone.context.close()
            assert phone.errors == []
        finally:
            phone.kill()
            server.kill()
        assert stored_by(server.data, phone.visit) == own
    return (
        f"{kills} kills of the browser ({amid} with a tap under way), {phone.taps} taps, "
        f"{sum(phone.shown.values())} shown as pressed, 0 lost"
    )


def stored_by(data: Path, visit: str) -> list[dict[str, Any]]:
    """The server's events of a visit, when it is dead."""
    chosen = settings.at(data)
    log = Log(open_engine(chosen.database_url), open_photo_store(chosen.photo_store))
    try:
        return log.events_of(visit)
    finally:
        log.close()


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--kills", type=int, default=50)
    parser.add_argument("--seed", type=int, default=1)
    chosen = parser.parse_args()
    began = time.monotonic()
    print(run(chosen.kills, chosen.seed), f"in {time.monotonic() - began:.0f} s")


if __name__ == "__main__":
    main()
