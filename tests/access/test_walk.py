"""The first three minutes, walked in a real browser whose profile trusts nothing of ours at first.

Chromium keeps what it trusts in an NSS database below its home folder; `certutil` plays the part
of a phone's settings. mDNS is played by a resolver rule.
"""

from __future__ import annotations

import os
import re
import shutil
import socket
import ssl
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from http.server import BaseHTTPRequestHandler, HTTPServer
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext, Error, Page, Playwright, expect, sync_playwright

from bradawl.access.certificates import Place, open_authority, server_files
from bradawl.access.lan import tls_context

CHROMIUM = os.environ.get("BRADAWL_TEST_CHROMIUM", "/usr/bin/chromium")
ARGUMENTS = [
    "--no-sandbox",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
    "--disable-quic",
    "--use-fake-device-for-media-stream",
    "--use-fake-ui-for-media-stream",
]
PHONE = {"width": 390, "height": 844}


@dataclass
class Running:
    """A server as a person starts it, and what it printed."""

    port: int
    keys: Path
    printed: str

    @property
    def name(self) -> str:
        found = re.search(r"https://([^:/]+):", self.printed)
        assert found is not None, self.printed
        return found[1]

    @property
    def origin(self) -> str:
        return f"https://{self.name}:{self.port}"

    @property
    def one_time_path(self) -> str:
        found = re.search(r"/desk/first#[\w-]+", self.printed)
        assert found is not None, self.printed
        return found[0]


def two_free_ports() -> int:
    """A port whose successor is free as well."""
    for _ in range(50):
        with socket.create_server(("127.0.0.1", 0)) as first:
            port: int = first.getsockname()[1]
            try:
                socket.create_server(("127.0.0.1", port + 1)).close()
            except OSError:
                continue
            return port
    raise AssertionError("no two neighbouring ports are free")


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Running]:
    data = tmp_path_factory.mktemp("data")
    port = two_free_ports()
    command = [sys.executable, "-m", "bradawl.cli", "serve", "--lan", "--port", str(port)]
    process = subprocess.Popen(
        command,
        env={**os.environ, "BRADAWL_DATA": str(data), "PYTHONUNBUFFERED": "1"},
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )
    try:
        assert process.stdout is not None
        printed = ""
        for line in process.stdout:
            printed += line
            if "Stop with" in line:
                break
        assert "Stop with" in printed, printed
        yield Running(port, data / "keys", printed)
    finally:
        process.terminate()
        process.communicate(timeout=20)


@pytest.fixture(scope="module")
def playwright() -> Iterator[Playwright]:
    with sync_playwright() as running:
        yield running


class Phone:
    """A browser profile that keeps what it has learnt between starts."""

    def __init__(self, playwright: Playwright, home: Path, names: list[str]) -> None:
        self._playwright = playwright
        self._home = home
        rules = ", ".join(f"MAP {name} 127.0.0.1" for name in names)
        self._arguments = [*ARGUMENTS, f"--host-resolver-rules={rules}"]
        self._open: BrowserContext | None = None

    def start(self) -> Page:
        self.stop()
        self._open = self._playwright.chromium.launch_persistent_context(
            self._home / "profile",
            executable_path=CHROMIUM,
            args=self._arguments,
            env={**os.environ, "HOME": str(self._home)},
            viewport=PHONE,
        )
        return self._open.new_page()

    def stop(self) -> None:
        if self._open is not None:
            self._open.close()
            self._open = None

    def learn(self, certificate: Path) -> None:
        """Trust an authority, as a person does in a phone's settings."""
        self.stop()
        store = self._home / ".pki" / "nssdb"
        store.mkdir(parents=True)
        database = ["certutil", "-d", f"sql:{store}"]
        subprocess.run([*database, "-N", "--empty-password"], check=True)
        trust = ["-A", "-t", "C,,", "-n", "bradawl", "-i", str(certificate)]
        subprocess.run([*database, *trust], check=True)


@pytest.fixture
def phone(playwright: Playwright, tmp_path: Path, server: Running) -> Iterator[Phone]:
    one = Phone(playwright, tmp_path, [server.name, "bank.example"])
    yield one
    one.stop()


def fetch_certificate(page: Page, server: Running, folder: Path) -> Path:
    page.goto(f"http://127.0.0.1:{server.port + 1}/")
    with page.expect_download() as download:
        page.get_by_role("link", name="Fetch the certificate").click()
    path = folder / download.value.suggested_filename
    download.value.save_as(path)
    return path


def test_the_first_three_minutes(phone: Phone, server: Running, tmp_path: Path) -> None:
    began = time.monotonic()
    # 1. The code in the terminal leads to the plain page; the phone does not trust us yet.
    page = phone.start()
    page.goto(f"http://127.0.0.1:{server.port + 1}/")
    expect(page.locator("#state")).to_contain_text("does not trust")
    with pytest.raises(Error, match="ERR_CERT_AUTHORITY_INVALID"):
        page.goto(server.origin)
    # 2. The certificate on the page is the one whose fingerprint the terminal shows.
    page = page.context.new_page()  # the refused one still shows its error
    certificate = fetch_certificate(page, server, tmp_path)
    shown = re.sub(r"\s", "", page.locator(".print").inner_text())
    assert shown in re.sub(r"\s", "", server.printed)
    openssl = ["openssl", "x509", "-inform", "der", "-noout", "-fingerprint", "-sha256", "-in"]
    told = subprocess.run([*openssl, certificate], capture_output=True, text=True, check=True)
    assert told.stdout.strip().split("=")[1].replace(":", "") == shown
    # 3. The phone learns the authority; the page notices and leads on.
    phone.learn(certificate)
    page = phone.start()
    complaints: list[str] = []
    page.on("console", lambda message: complaints.append(message.text))
    page.goto(f"http://127.0.0.1:{server.port + 1}/")
    expect(page.locator("#state")).to_contain_text("This phone trusts the workshop.")
    page.get_by_role("link", name="Go on").click()
    # 4. The self-test: what a browser can show is right, what is missing says so.
    for step in ("reached", "trusted", "offline"):
        expect(page.locator(f"#{step} .verdict")).to_have_text("right", timeout=30_000)
    page.get_by_role("button", name="Try the camera").click()
    expect(page.locator("#camera .verdict")).to_have_text("right")
    expect(page.locator("#kept .why")).to_contain_text("MB free")
    expect(page.locator("#installed .verdict")).to_have_text("missing")
    expect(page.locator("#installed .why")).to_contain_text("home screen")
    assert complaints == []
    # 5. The owner chooses a passphrase by the one-time link; the code leaves the address bar.
    desk = page.context.new_page()
    desk.goto(server.origin + server.one_time_path)
    expect(desk.get_by_label("One-time code")).to_be_hidden()
    assert desk.url == f"{server.origin}/desk/first"
    desk.get_by_label("Your name").fill("Ada")
    desk.get_by_label("Passphrase", exact=True).fill("nine rusty hinges sing")
    desk.get_by_label("The same once more").fill("nine rusty hinges sing")
    desk.get_by_role("button").click()
    expect(desk).to_have_url(f"{server.origin}/desk/")
    # 6. The phone asks, both screens show the same words, the owner approves.
    page.goto(f"{server.origin}/app/")
    asked = page.evaluate(
        """async () => {
          const body = JSON.stringify({device: "ab".repeat(16), name: "Walked phone"});
          const headers = {"Content-Type": "application/json"};
          return (await fetch("/api/v1/pairing", {method: "POST", headers, body})).json();
        }"""
    )
    desk.goto(f"{server.origin}/desk/devices/add")
    desk.get_by_label("Code on the phone").fill(asked["code"].lower())
    desk.get_by_role("button", name="Find the phone").click()
    expect(desk.locator(".words")).to_have_text(asked["words"])
    desk.get_by_role("button", name="The words are the same").click()
    expect(desk.get_by_role("status")).to_contain_text("Approved: Walked phone")
    me = page.evaluate(
        """async (secret) => {
          const body = JSON.stringify({secret});
          const headers = {"Content-Type": "application/json"};
          await fetch("/api/v1/pairing/poll", {method: "POST", headers, body});
          return (await fetch("/api/v1/me")).json();
        }""",
        asked["secret"],
    )
    assert me == {"device": "ab" * 16, "name": "Walked phone", "person": "Ada"}
    expect(desk.get_by_role("rowheader", name="Walked phone")).to_be_visible()
    assert page.evaluate("document.cookie") == ""
    # Without the person's own reading and typing it is far below three minutes.
    assert time.monotonic() - began < 180


def test_a_browser_that_trusts_the_authority_still_refuses_a_public_name_from_it(
    phone: Phone, server: Running, tmp_path: Path
) -> None:
    place = Place(("bank.example",), ())
    authority = open_authority(server.keys, place)
    files = server_files(tmp_path / "stolen", authority, place)
    with a_site(lambda: tls_context(files)) as port:
        phone.learn(fetch_certificate(phone.start(), server, tmp_path))
        page = phone.start()
        page.goto(f"{server.origin}/hello/check")
        with pytest.raises(Error, match="ERR_CERT_"):
            page.goto(f"https://bank.example:{port}/")


class _Answer(BaseHTTPRequestHandler):
    def do_GET(self) -> None:
        self.send_response(200)
        self.end_headers()
        self.wfile.write(b"fooled")

    def log_message(self, *_: object) -> None:
        pass


class a_site:  # noqa: N801 - reads as a sentence where it is used
    """A site on a free port with a certificate of the test's."""

    def __init__(self, context: Callable[[], ssl.SSLContext]) -> None:
        self._server = HTTPServer(("127.0.0.1", 0), _Answer)
        self._server.socket = context().wrap_socket(self._server.socket, server_side=True)
        self._server.handle_error = lambda *_: None  # type: ignore[method-assign]

    def __enter__(self) -> int:
        threading.Thread(target=self._server.serve_forever, daemon=True).start()
        return int(self._server.server_address[1])

    def __exit__(self, *_: object) -> None:
        self._server.shutdown()
        self._server.server_close()


def test_certutil_is_here() -> None:
    """The walk needs the tool that changes what Chromium trusts (Debian: libnss3-tools)."""
    assert shutil.which("certutil")
