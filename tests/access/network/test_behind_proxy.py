"""A phone and the desk through a real reverse proxy, set up as access/README.md says."""

from __future__ import annotations

import base64
import io
import re
import shutil
import socket
import subprocess
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from PIL import Image
from playwright.sync_api import expect, sync_playwright

from bradawl.access.authority.lifecycle import open_authority, server_files
from bradawl.access.authority.names import Place
from tests.access.walking import (
    Profile,
    Running,
    approve,
    ask_to_be_paired,
    choose_passphrase,
    find_at_desk,
    on_the_server,
    serving,
)
from tests.browsing import look_at_cars
from tests.serving.running import two_free_ports

NAME = "shop.home.arpa"
README = Path(__file__).parents[3] / "server" / "bradawl" / "access" / "README.md"
NGINX = shutil.which("nginx") or "/usr/sbin/nginx"
AROUND = """
daemon off;
user root;
pid {folder}/nginx.pid;
error_log {folder}/error.log;
events {{}}
http {{
    access_log off;
    client_body_temp_path {folder}/body;
    proxy_temp_path {folder}/proxy;
    fastcgi_temp_path {folder}/fastcgi;
    uwsgi_temp_path {folder}/uwsgi;
    scgi_temp_path {folder}/scgi;
{server}
}}
"""


#: Sends a photo as the app does; the answer's status.
PUT = """
async (text) => {
  const body = Uint8Array.from(atob(text), (one) => one.charCodeAt(0));
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", body));
  const name = [...digest].map((one) => one.toString(16).padStart(2, "0")).join("");
  const headers = { "content-type": "image/jpeg" };
  return (await fetch(`/api/v1/blobs/${name}`, { method: "PUT", body, headers })).status;
}
"""


def photo() -> bytes:
    out = io.BytesIO()
    Image.effect_noise((2000, 1500), 60).save(out, "JPEG", quality=95)
    assert len(out.getvalue()) > 1_500_000
    return out.getvalue()


@contextmanager
def proxy(folder: Path, behind: int, port: int) -> Iterator[None]:
    """nginx as the README sets it up, on `port` before the server on port `behind`."""
    found = re.search(r"```nginx\n(.*?)```", README.read_text(encoding="utf-8"), re.DOTALL)
    assert found is not None
    place = Place((NAME,), ())
    files = server_files(folder, open_authority(folder, place), place)
    server = found[1]
    for old, new in (
        ("443", str(port)),
        ("shop.example", NAME),
        ("/etc/ssl/shop.pem", str(files.certificate)),
        ("/etc/ssl/shop.key", str(files.key)),
        ("8477", str(behind)),
    ):
        assert server.count(old) == 1, old
        server = server.replace(old, new)
    settings = folder / "nginx.conf"
    settings.write_text(AROUND.format(folder=folder, server=server))
    log = folder / "error.log"
    process = subprocess.Popen([NGINX, "-c", settings, "-e", log])
    try:
        for _ in range(200):
            assert process.poll() is None, log.read_text()
            try:
                socket.create_connection(("127.0.0.1", port), 1).close()
                break
            except OSError:
                time.sleep(0.05)
        yield
    finally:
        process.terminate()
        process.wait(timeout=60)


@pytest.fixture
def proxied(tmp_path: Path) -> Iterator[Running]:
    port = two_free_ports()
    with (
        serving(tmp_path / "data", "--proxy") as server,
        proxy(tmp_path, server.port, port),
    ):
        yield Running(port, server.data, server.printed, name=NAME)


def test_a_phone_is_paired_and_keeps_a_photo_through_the_proxy(
    proxied: Running, tmp_path: Path
) -> None:
    with sync_playwright() as playwright:
        phone = Profile(playwright, tmp_path, [NAME])
        phone.learn(tmp_path / "authority.pem")
        page = phone.start()
        desk = page.context.new_page()
        choose_passphrase(desk, proxied)
        page.goto(f"{proxied.origin}/app/")
        code, words = ask_to_be_paired(page, "Proxied phone")
        expect(find_at_desk(desk, proxied, code)).to_have_text(words)
        approve(desk)
        on_the_server(page)
        page.get_by_role("link", name="To the cars").click()
        look_at_cars(page)
        page.get_by_role("button", name="Start a car").click()
        make = page.get_by_label("Make", exact=True)
        make.fill("Nuthatch")
        make.blur()
        on_the_server(page)
        desk.goto(f"{proxied.origin}/desk/")
        expect(desk.get_by_role("link", name="Nuthatch").first).to_be_visible()
        # a photo larger than what a proxy lets through unless told
        assert page.evaluate(PUT, base64.b64encode(photo()).decode()) == 201
        # a cold start without a network: the worker was registered under the proxy's name
        page.evaluate("navigator.serviceWorker.ready.then(() => true)")
        page.context.set_offline(True)
        page.close()
        again = desk.context.new_page()
        again.goto(f"{proxied.origin}/app/")
        expect(again.get_by_label("Make", exact=True)).to_have_value("Nuthatch")
        phone.stop()
