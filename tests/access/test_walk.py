"""The first three minutes, in a real browser whose profile trusts nothing of ours at first."""

from __future__ import annotations

import re
import shutil
import ssl
import subprocess
import threading
import time
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from http.server import BaseHTTPRequestHandler, HTTPServer
from pathlib import Path

import pytest
from cryptography.x509 import DNSName
from playwright.sync_api import Error, Page, Playwright, expect, sync_playwright

from bradawl.access.authority import lifecycle
from bradawl.access.lan import code
from tests.access.authority.forging import forged
from tests.access.walking import (
    Profile,
    Running,
    approve,
    ask_to_be_paired,
    choose_passphrase,
    find_at_desk,
    on_the_server,
    read_code,
    serving,
)
from tests.browsing import look_at_cars


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Running]:
    with serving(tmp_path_factory.mktemp("data")) as running:
        yield running


@pytest.fixture(scope="module")
def playwright() -> Iterator[Playwright]:
    with sync_playwright() as running:
        yield running


@pytest.fixture
def phone(playwright: Playwright, tmp_path: Path, server: Running) -> Iterator[Profile]:
    one = Profile(playwright, tmp_path, [server.name])
    yield one
    one.stop()


class Watch:
    """How long each step took; printed, for `pytest -s`."""

    def __init__(self) -> None:
        self.began = self._last = time.monotonic()

    def step(self, what: str) -> None:
        now = time.monotonic()
        print(f"{now - self.began:6.1f} s  (+{now - self._last:.1f})  {what}")
        self._last = now


def fetch_certificate(page: Page, server: Running, folder: Path) -> Path:
    page.goto(server.first_page)
    with page.expect_download() as download:
        page.get_by_role("link", name="Get the certificate").click()
    path = folder / download.value.suggested_filename
    download.value.save_as(path)
    return path


def test_the_first_three_minutes(phone: Profile, server: Running, tmp_path: Path) -> None:
    watch = Watch()
    # 1. The code in the terminal leads to the plain page; the phone does not trust us yet.
    said = re.search(r"Start a phone here: +(\S+)", server.printed)
    assert said is not None
    assert server.code_read == said[1]
    page = phone.start()
    page.goto(server.first_page)
    expect(page.locator("#state")).to_contain_text("doesn't trust")
    with pytest.raises(Error, match="ERR_CERT_AUTHORITY_INVALID"):
        page.goto(server.origin)
    watch.step("the code leads to the plain page; https is refused, as it must be")
    # 2. The certificate on the page is the one whose fingerprint the terminal shows.
    page = page.context.new_page()  # the refused one still shows its error
    certificate = fetch_certificate(page, server, tmp_path)
    shown = re.sub(r"\s", "", page.locator(".print").inner_text())
    assert shown in re.sub(r"\s", "", server.printed)
    openssl = ["openssl", "x509", "-inform", "der", "-noout", "-fingerprint", "-sha256", "-in"]
    told = subprocess.run([*openssl, certificate], capture_output=True, text=True, check=True)
    assert told.stdout.strip().split("=")[1].replace(":", "") == shown
    watch.step("certificate fetched, fingerprint equal to the terminal's")
    # 3. The phone learns the authority; the page notices and leads on.
    phone.learn(certificate)
    page = phone.start()
    complaints: list[str] = []
    page.on("console", lambda message: complaints.append(message.text))
    page.goto(server.first_page)
    expect(page.locator("#state")).to_contain_text("This phone trusts the shop.")
    page.get_by_role("link", name="Continue").click()
    watch.step("authority learnt, browser restarted, the page leads on by itself")
    # 4. The self-test: what a browser can show is right, what is missing says so.
    for step in ("reached", "trusted", "offline"):
        expect(page.locator(f"#{step} .verdict")).to_have_text("OK")
    page.get_by_role("button", name="Try the camera").click()
    expect(page.locator("#camera .verdict")).to_have_text("OK")
    expect(page.locator("#kept .why")).to_contain_text("MB free")
    expect(page.locator("#installed .verdict")).to_have_text("missing")
    expect(page.locator("#installed .why")).to_contain_text("home screen")
    assert complaints == []
    watch.step("self-test: reached, trusted, works without signal, camera")
    # 5. The owner chooses a passphrase by the one-time link; the code leaves the address bar.
    desk = page.context.new_page()
    desk.goto(server.origin + server.one_time_path)
    expect(desk.get_by_label("One-time code")).to_be_hidden()
    assert desk.url == f"{server.origin}/desk/first"
    choose_passphrase(desk, server)
    watch.step("owner's passphrase chosen by the one-time link")
    # 6. The app asks, both screens show the same words, the owner approves, the phone goes on.
    page.get_by_role("link", name="Open Bradawl").click()
    code, words = ask_to_be_paired(page, "Walked phone")
    expect(find_at_desk(desk, server, code)).to_have_text(words)
    assert len(words.split()) == 4
    expect(desk.locator("dl.facts")).to_contain_text("Walked phone")
    approve(desk)
    expect(page.get_by_role("status").filter(has_text="Paired.")).to_be_visible(timeout=15_000)
    expect(desk.get_by_role("rowheader", name="Walked phone")).to_be_visible(timeout=15_000)
    on_the_server(page)
    assert page.evaluate("document.cookie") == ""
    page.get_by_role("link", name="To the cars").click()
    look_at_cars(page)
    watch.step("paired through the app's own screen and the desk")
    # 7. Out of the workshop's reach the app starts cold and keeps what is recorded.
    context = page.context
    page.close()
    context.set_offline(True)
    page = context.new_page()
    page.goto(f"{server.origin}/app/")
    page.get_by_role("button", name="Start a car").click()
    make = page.get_by_label("Make", exact=True)
    make.fill("Nuthatch")
    make.blur()
    line = page.locator("a.sync")
    expect(line).to_have_attribute("data-state", "phone")
    expect(line).not_to_have_attribute("data-unsent", "0")
    watch.step("cold start without a network; a car begun")
    # 8. Back in reach it sends by itself, and the desk has it.
    context.set_offline(False)
    on_the_server(page)
    desk.goto(f"{server.origin}/desk/")
    expect(desk.get_by_role("link", name="Nuthatch").first).to_be_visible()
    watch.step("back: sent by itself, listed at the desk")
    # Without the person's own reading and typing it is far below three minutes.
    assert time.monotonic() - watch.began < 180


def test_a_browser_that_trusts_the_authority_still_refuses_what_a_thief_makes_of_it(
    playwright: Playwright, server: Running, tmp_path: Path
) -> None:
    standing = lifecycle.read(server.authority.parent)
    assert standing is not None
    bare = server.name.partition(".")[0]
    names = ["bank.example", f"bank.{bare}", bare, "printer.local"]
    phone = Profile(playwright, tmp_path, [server.name, *names])
    phone.learn(fetch_certificate(phone.start(), server, tmp_path))
    page = phone.start()
    page.goto(f"{server.origin}/hello/check")
    for name in [*names, server.name]:
        folder = tmp_path / name
        forged(folder, standing.authority, [DNSName(name)], now=datetime.now(UTC))
        context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
        context.load_cert_chain(folder / "sent.crt", folder / "leaf.key")
        page = page.context.new_page()  # a refused one goes on to show its error
        with a_site(lambda context=context: context) as port:
            if name == server.name:  # the check can fail: for this name it is no forgery
                page.goto(f"https://{name}:{port}/")
                continue
            with pytest.raises(Error, match="ERR_CERT_"):
                page.goto(f"https://{name}:{port}/")
    phone.stop()


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


def test_the_code_is_white_on_black_whatever_paper_the_terminal_has() -> None:
    address = "http://192.168.1.20:8478/"
    coloured = code(address, colours=True)
    lines = coloured.splitlines()
    assert all(line.startswith("\x1b[97;40m") and line.endswith("\x1b[0m") for line in lines)
    assert read_code(re.sub(r"\x1b\[[\d;]*m", "", coloured)) == address
