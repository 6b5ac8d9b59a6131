"""The newcomer: from a wheel on the disk to the first photo at the desk, counted and timed.

`python -m tests.packaging.newcomer WHEEL` installs it by `uvx` into nothing. What a person decides,
chooses or types is counted one by one; what the phone's own settings ask while it learns to trust
the shop can't be played here, so the steps that our page names for it are counted instead.
"""

from __future__ import annotations

import io
import json
import os
import re
import signal
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import zxingcpp
from PIL import Image
from playwright.sync_api import Page, expect, sync_playwright

from tests.access.walking import PASSPHRASE, Profile, ask_to_be_paired, on_the_server
from tests.browsing import ARGUMENTS, CHROMIUM, look_at_cars, opened
from tests.phone.phone import picture

LIMIT_S = 600
SHOP = "Gannet Lane Garage"


@dataclass
class Journey:
    """What was decided, in words; when it began."""

    began: float = field(default_factory=time.monotonic)
    decisions: list[str] = field(default_factory=list)

    def decides(self, *what: str) -> None:
        self.decisions += what

    def seconds(self) -> float:
        return round(time.monotonic() - self.began, 1)


class Computer:
    """The shop's computer: a home, a command, a browser that opens by itself."""

    def __init__(self, home: Path, command: Sequence[str], environment: Mapping[str, str]) -> None:
        self._command = list(command)
        self._shown = home / "shown"
        browser = home / "browser"
        browser.write_text(f'#!/bin/sh\necho "$1" >> "{self._shown}"\n')
        browser.chmod(0o700)
        self._environment = {"HOME": str(home), "BROWSER": str(browser), **environment}
        self._home = home
        self._starts = 0

    @contextmanager
    def started(self) -> Iterator[str]:
        """The page that the browser was asked to show."""
        with (self._home / "said").open("w+") as said:
            process = subprocess.Popen(
                self._command,
                cwd=self._home,
                env=self._environment,
                stdout=said,
                stderr=subprocess.STDOUT,
            )
            self._starts += 1
            try:
                yield self._page(process, said.name)
            finally:
                process.send_signal(signal.SIGINT)
                process.wait(timeout=LIMIT_S)

    def _page(self, process: subprocess.Popen[bytes], said: str) -> str:
        limit = time.monotonic() + LIMIT_S
        while True:
            shown = self._shown.read_text().split() if self._shown.exists() else []
            if len(shown) >= self._starts:
                return shown[-1]
            assert process.poll() is None, Path(said).read_text()
            assert time.monotonic() < limit, Path(said).read_text()
            time.sleep(0.05)


def play(home: Path, command: Sequence[str], environment: Mapping[str, str]) -> dict[str, Any]:
    """The whole way; what it took. Raises AssertionError where it does not lead on."""
    journey = Journey()
    computer = Computer(home, command, environment)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=list(ARGUMENTS))
        desk = opened(browser).new_page()
        journey.decides("types the command")
        with computer.started() as address:
            installed_s = journey.seconds()
            desk.goto(address)
            _answer(desk, journey)
        answered_s = journey.seconds()
        journey.decides("stops Bradawl", "starts it again")
        with computer.started() as address:
            desk.goto(address)
            name = f"{socket.gethostname().partition('.')[0].lower()}.local"
            phone = Profile(playwright, home, [name])
            try:
                _photo(desk, phone, home, journey)
            finally:
                phone.stop()
        browser.close()
    return {
        "decisions": len(journey.decisions),
        "seconds": journey.seconds(),
        "seconds_to_the_desk": installed_s,
        "seconds_to_the_phone": answered_s,
        "what": journey.decisions,
    }


def _answer(desk: Page, journey: Journey) -> None:
    """The five questions."""
    desk.get_by_role("link", name="Begin").click()
    desk.get_by_label("Name of the shop").fill(SHOP)
    keep = desk.get_by_role("button", name="Keep and go on")
    keep.click()
    journey.decides("begins", "types the shop's name", "keeps it")
    expect(desk.get_by_role("heading", name="Where the shop is", exact=True)).to_be_visible()
    keep.click()
    journey.decides("keeps the country")
    desk.get_by_label("Passphrase", exact=True).fill(PASSPHRASE)
    desk.get_by_label("Type it again").fill(PASSPHRASE)
    keep.click()
    journey.decides("thinks of a passphrase", "types it again", "keeps it")
    expect(desk.get_by_role("heading", name="Where backups go")).to_be_visible()
    keep.click()
    journey.decides("keeps where backups go")
    expect(desk.get_by_label("Phones on the shop's Wi-Fi")).to_be_checked()
    keep.click()
    journey.decides("lets phones in")
    expect(desk.get_by_text("start it again")).to_be_visible()


def _photo(desk: Page, phone: Profile, home: Path, journey: Journey) -> None:
    """From the code on the desk's page to the photo at the desk."""
    journey.decides("scans the code")
    page = phone.start()
    page.goto(_code_on(desk))
    with page.expect_download() as download:
        page.get_by_role("link", name="Get the certificate").click()
    certificate = home / "certificate.crt"
    download.value.save_as(certificate)
    steps = page.locator("#ios > ol > li").count()
    journey.decides("gets the certificate", "compares the fingerprint")
    journey.decides(*(f"trusts the shop, step {n + 1} of its settings" for n in range(steps)))
    shown = page.locator(".print").first.inner_text()
    assert _bare(shown) == _bare(desk.locator(".digits").inner_text())
    phone.learn(certificate)
    page = phone.start()
    page.goto(_code_on(desk))
    page.get_by_role("link", name="Continue").click()
    page.get_by_role("link", name="Open Bradawl").click()
    journey.decides("goes on", "opens the app")
    code, words = ask_to_be_paired(page)
    journey.decides("opens pairing", "asks to pair")
    desk.get_by_role("link", name="Type the phone's code here").click()
    desk.get_by_label("Code on the phone").fill(code)
    desk.get_by_role("button", name="Find the phone").click()
    expect(desk.locator(".words")).to_have_text(words)
    desk.get_by_role("button", name="Words match").click()
    journey.decides("goes to the code's field", "types the code", "finds the phone", "approves it")
    on_the_server(page)
    page.get_by_role("link", name="To the cars").click()
    look_at_cars(page)
    page.get_by_role("button", name="Start a car").click()
    page.get_by_role("button", name="Capture").click()
    camera = page.locator("dialog.modal input[capture]")
    photo = {"name": "IMG_1.jpg", "mimeType": "image/jpeg", "buffer": picture(1)}
    camera.set_input_files(photo)  # type: ignore[arg-type]
    journey.decides("goes to the cars", "says where it is used", "starts a car", "opens Capture")
    journey.decides("takes the photo")
    _arrived(desk)


def _code_on(desk: Page) -> str:
    """What a phone's camera reads from the desk's page."""
    shot = Image.open(io.BytesIO(desk.locator(".qr svg").screenshot()))
    (found,) = zxingcpp.read_barcodes(shot)
    # the address of the machine on its network: from here it is reached by loopback as well
    return f"http://127.0.0.1:{urlsplit(str(found.text)).port}/"


def _arrived(desk: Page) -> None:
    """Until the desk shows the photo itself."""
    base = re.sub(r"/desk/.*", "", desk.url)
    limit = time.monotonic() + LIMIT_S
    while True:
        desk.goto(f"{base}/desk/")
        car = desk.locator('main a[href^="/desk/visits/"]')
        if car.count():
            desk.goto(f"{base}{car.first.get_attribute('href')}/photos")
            image = desk.locator('main img[src^="/desk/photos/"]')
            if image.count() and image.first.evaluate("i => i.decode().then(() => i.naturalWidth)"):
                return
        assert time.monotonic() < limit, desk.content()
        time.sleep(0.1)


def _bare(digits: str) -> str:
    return re.sub(r"\s", "", digits)


def from_wheel(wheel: Path) -> dict[str, Any]:
    """Installed by `uvx` with a cache of its own; neither checkout nor Node are on the path."""
    with tempfile.TemporaryDirectory(prefix="bradawl-newcomer-") as folder:
        home = Path(folder)
        tools = home / "tools"
        tools.mkdir()
        for name in ("uv", "uvx"):
            (tools / name).symlink_to(Path(sys.executable).parent / name)
        passed = {name: value for name, value in os.environ.items() if name.startswith("UV_")}
        # where this machine has pip look beside the registry, and the certificates it trusts
        if "PIP_FIND_LINKS" in os.environ:
            passed["UV_FIND_LINKS"] = os.environ["PIP_FIND_LINKS"]
        passed["UV_SYSTEM_CERTS"] = "1"
        environment = {**passed, "PATH": f"{tools}:/usr/bin:/bin", "UV_CACHE_DIR": str(home / "uv")}
        python = ["--python", sys.executable]
        return play(
            home, [str(tools / "uvx"), *python, "--from", str(wheel), "bradawl"], environment
        )


def main() -> None:
    print(json.dumps(from_wheel(Path(sys.argv[1]).resolve()), indent=1))


if __name__ == "__main__":
    main()
