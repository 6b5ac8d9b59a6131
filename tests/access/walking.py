"""A server as a person starts it with `--lan`, and browsers that learn to trust it.

Chromium keeps what it trusts in an NSS database below its home folder; `certutil` plays the part
of a phone's settings. mDNS is played by a resolver rule.
"""

from __future__ import annotations

import os
import re
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import zxingcpp
from PIL import Image
from playwright.sync_api import BrowserContext, Locator, Page, Playwright, expect

from tests.browsing import ARGUMENTS, CAMERA_ALLOWED, FAKE_CAMERA, STILL, WHOLE_CHROMIUM, patient
from tests.fresh import furnished
from tests.serving import running

SIZE = {"width": 390, "height": 844}
PASSPHRASE = "nine rusty hinges sing"


@dataclass
class Running:
    """A server as a person starts it, and what it printed."""

    port: int
    data: Path
    printed: str
    name: str

    @property
    def keys(self) -> Path:
        return self.data / "keys"

    @property
    def authority(self) -> Path:
        """The certificate that phones trust."""
        return self.keys / "authority" / "authority.pem"

    @property
    def origin(self) -> str:
        return f"https://{self.name}:{self.port}"

    @property
    def first_page(self) -> str:
        """The plain page, which the printed code leads to; from here always by loopback."""
        return f"http://127.0.0.1:{self.port + 1}/"

    @property
    def code_read(self) -> str:
        """What a reader of barcodes finds in the picture that the terminal shows."""
        return read_code(self.printed)

    @property
    def one_time_path(self) -> str:
        found = re.search(r"/desk/first#[\w-]+", self.printed)
        assert found is not None, self.printed
        return found[0]


def read_code(printed: str) -> str:
    """The text of the one code drawn in blocks, white on black as printed; by zxing-cpp."""
    lines = [line for line in printed.splitlines() if line and set(line) <= set("█▀▄ ")]
    picture = Image.new("L", (len(lines[0]), 2 * len(lines)), 255)
    for row, line in enumerate(lines):
        for column, block in enumerate(line):
            picture.putpixel((column, 2 * row), 255 if block in "█▀" else 0)
            picture.putpixel((column, 2 * row + 1), 255 if block in "█▄" else 0)
    large = picture.resize((8 * picture.width, 8 * picture.height), Image.Resampling.NEAREST)
    (found,) = zxingcpp.read_barcodes(large, try_invert=False)
    return str(found.text)


@contextmanager
def serving(data: Path, mode: str = "--lan") -> Iterator[Running]:
    """`bradawl serve` over a data folder, ended with the block."""
    with running.serving(furnished(data), mode) as server:
        found = re.search(r"https://([^:/]+)", server.printed)
        assert found is not None, server.printed
        yield Running(server.port, data, server.printed, name=found[1])


def trust(home: Path, certificate: Path, name: str = "bradawl") -> None:
    """Let browsers with this home folder trust an authority, as a person does in settings."""
    store = home / ".pki" / "nssdb"
    database = ["certutil", "-d", f"sql:{store}"]
    if not store.exists():
        store.mkdir(parents=True)
        subprocess.run([*database, "-N", "--empty-password"], check=True)
    added = ["-A", "-t", "C,,", "-n", name, "-i", str(certificate)]
    subprocess.run([*database, *added], check=True)


def distrust(home: Path, name: str = "bradawl") -> None:
    """Remove an authority again."""
    store = home / ".pki" / "nssdb"
    subprocess.run(["certutil", "-d", f"sql:{store}", "-D", "-n", name], check=True)


def resolving(*names: str) -> str:
    """The browser's argument by which names lead to this machine."""
    return "--host-resolver-rules=" + ", ".join(f"MAP {name} 127.0.0.1" for name in names)


class Profile:
    """A browser profile that keeps what it has learnt between starts."""

    def __init__(self, playwright: Playwright, home: Path, names: list[str]) -> None:
        self._playwright = playwright
        self._home = home
        self._arguments = [*ARGUMENTS, FAKE_CAMERA, CAMERA_ALLOWED, resolving(*names)]
        self._open: BrowserContext | None = None

    def start(self, *more: str) -> Page:
        """Start the browser; a new page. `more` are arguments for this start."""
        self.stop()
        context = self._playwright.chromium.launch_persistent_context(
            self._home / "profile",
            executable_path=WHOLE_CHROMIUM,
            args=[*self._arguments, *more],
            env={**os.environ, "HOME": str(self._home)},
            viewport=SIZE,
            has_touch=True,
            **STILL,
        )
        self._open = patient(context)
        return self._open.new_page()

    def stop(self) -> None:
        if self._open is not None:
            self._open.close()
            self._open = None

    def learn(self, certificate: Path, name: str = "bradawl") -> None:
        self.stop()
        trust(self._home, certificate, name)

    def remove(self, name: str = "bradawl") -> None:
        self.stop()
        distrust(self._home, name)


# What a person does at the two screens


def choose_passphrase(desk: Page, server: Running) -> None:
    """The owner follows the one-time link of the terminal."""
    desk.goto(server.origin + server.one_time_path)
    desk.get_by_label("Your name").fill("Ada")
    desk.get_by_label("Passphrase", exact=True).fill(PASSPHRASE)
    desk.get_by_label("Type it again").fill(PASSPHRASE)
    desk.get_by_role("button").click()
    expect(desk).to_have_url(f"{server.origin}/desk/")


def shown_on(phone: Page) -> tuple[str, str]:
    """Code and words on the phone's waiting screen."""
    told = phone.locator(".code dd")
    expect(told).to_have_count(2)
    return told.nth(0).inner_text(), told.nth(1).inner_text()


def ask_to_be_paired(phone: Page, name: str = "") -> tuple[str, str]:
    """From any screen of the app to the waiting screen; its code and words."""
    line = phone.locator("a.sync")
    expect(line).to_have_attribute("data-state", "pair")
    line.click()
    if name:
        phone.get_by_label("Name of this phone").fill(name)
    phone.get_by_role("button", name="Ask to pair").click()
    return shown_on(phone)


def find_at_desk(desk: Page, server: Running, code: str) -> Locator:
    """The owner types a code; the words that the desk shows."""
    desk.goto(f"{server.origin}/desk/devices/add")
    desk.get_by_label("Code on the phone").fill(code.lower())
    desk.get_by_role("button", name="Find the phone").click()
    return desk.locator(".words")


def approve(desk: Page) -> None:
    desk.get_by_role("button", name="Words match").click()


def on_the_server(phone: Page) -> None:
    """Wait until the phone says that the server has everything."""
    line = phone.locator("a.sync")
    expect(line).to_have_attribute("data-state", "server")
    expect(line).to_have_attribute("data-unsent", "0")
