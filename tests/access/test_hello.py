"""The plain port gives the first page and the public certificate, and nothing else."""

from __future__ import annotations

import asyncio
import datetime as dt
import ipaddress
import re
import socket
import ssl
from pathlib import Path

import pytest
from cryptography import x509
from fastapi import FastAPI
from fastapi.testclient import TestClient

from bradawl.access import lan as network
from bradawl.access.certificates import Authority, Place, open_authority, server_files
from bradawl.access.hello import AUTHORITY_TYPE, check_router, first_app
from bradawl.listening.ports import open_port

PLACE = Place(("shop.local", "shop", "localhost"), (ipaddress.ip_address("192.168.1.5"),))
ORIGINS = ["https://shop.local:8477", "https://192.168.1.5:8477"]


@pytest.fixture
def authority(tmp_path: Path) -> Authority:
    return open_authority(tmp_path / "keys", PLACE)


@pytest.fixture
def plain(authority: Authority) -> TestClient:
    app = first_app(authority, ORIGINS)
    return TestClient(app, base_url="http://192.168.1.5:8478", raise_server_exceptions=False)


def test_the_page_shows_the_fingerprint_and_every_address(
    plain: TestClient, authority: Authority
) -> None:
    page = plain.get("/").text
    assert authority.fingerprint in page
    assert f'data-origins="{" ".join(ORIGINS)}"' in page
    for word in ("Certificate Trust Settings", "CA certificate", "Safari", "Chrome"):
        assert word in page


def test_the_certificate_comes_as_phones_take_it(plain: TestClient, authority: Authority) -> None:
    answer = plain.get("/hello/bradawl-authority.crt")
    assert answer.headers["content-type"] == AUTHORITY_TYPE
    assert x509.load_der_x509_certificate(answer.content) == authority.certificate


@pytest.mark.parametrize(
    "path", ["/desk/", "/api/v1/me", "/app/", "/hello/authority.key", "/hello/..%2fauthority.key"]
)
def test_nothing_else_is_on_the_plain_port(plain: TestClient, path: str) -> None:
    answer = plain.get(path)
    assert answer.status_code == 404
    assert "PRIVATE KEY" not in answer.text


def test_the_plain_page_has_strict_headers(plain: TestClient) -> None:
    headers = plain.get("/").headers
    policy = headers["content-security-policy"]
    assert "default-src 'none'" in policy
    assert f"connect-src {' '.join(ORIGINS)};" in policy
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["cache-control"] == "no-store"


def test_an_address_that_a_policy_cannot_name_is_covered_all_the_same(
    authority: Authority,
) -> None:
    # CSP Level 3, host-source: no IPv6 literals
    client = TestClient(first_app(authority, ["https://[fd00::2]:8477"]))
    assert "connect-src https:;" in client.get("/").headers["content-security-policy"]


@pytest.mark.parametrize("name", ["meet.js", "check.js", "hello.css", "mark.svg"])
def test_every_file_that_the_pages_name_is_there(plain: TestClient, name: str) -> None:
    assert plain.get(f"/hello/{name}").status_code == 200


def test_the_self_test_and_the_proof_of_trust_are_on_the_server_itself(
    authority: Authority,
) -> None:
    app = FastAPI()
    app.include_router(check_router(authority))
    client = TestClient(app)
    page = client.get("/hello/check").text
    steps = re.findall(r'<li id="(\w+)"', page)
    assert steps == ["reached", "trusted", "offline", "kept", "camera", "installed"]
    ping = client.get("/hello/ping")
    assert (ping.status_code, ping.content) == (204, b"")
    assert ping.headers["cross-origin-resource-policy"] == "cross-origin"


def test_the_greeting_leads_to_the_plain_page_and_shows_what_to_compare(tmp_path: Path) -> None:
    lan = network.prepare(tmp_path / "keys", 8477, 8478, PLACE)
    text = network.greeting(lan)
    assert "http://192.168.1.5:8478/" in text
    assert "https://shop.local:8477" in text
    shown = re.sub(r"\s", "", lan.authority.fingerprint)
    assert shown in re.sub(r"\s", "", text)
    assert lan.origins == ORIGINS
    assert lan.hosts == {"shop.local", "shop", "localhost", "192.168.1.5"}


def test_a_new_certificate_is_used_without_a_restart(tmp_path: Path) -> None:
    """A machine with a new address, a certificate near its end: the next connection sees it."""
    loopback = Place(("localhost",), (ipaddress.ip_address("127.0.0.1"),))
    keys = tmp_path / "keys"
    long_ago = dt.datetime.now(dt.UTC) - dt.timedelta(days=80)
    authority = open_authority(keys, loopback, now=long_ago)
    server_files(keys, authority, loopback, now=long_ago)
    aged = x509.load_pem_x509_certificate((keys / "server.pem").read_bytes())

    async def scene() -> tuple[int, int]:
        main, first = open_port(0), open_port(0)
        port = main.getsockname()[1]
        files = network.ServerFiles(
            keys / "server.pem", keys / "server.key", aged.not_valid_after_utc, renewed=False
        )
        lan = network.Lan(keys, authority, files, loopback, port, first.getsockname()[1])
        up = asyncio.Event()
        serving = asyncio.create_task(
            network.serve(FastAPI(), lan, main, first, started=up.set, look_every_s=0.2)
        )
        await asyncio.wait_for(up.wait(), 20)
        before = await asyncio.to_thread(serial_at, port)
        for _ in range(100):
            after = await asyncio.to_thread(serial_at, port)
            if after != before:
                break
            await asyncio.sleep(0.1)
        serving.cancel()
        await asyncio.gather(serving, return_exceptions=True)
        return before, after

    before, after = asyncio.run(scene())
    assert before == aged.serial_number
    assert after != before
    kept = x509.load_pem_x509_certificate((keys / "server.pem").read_bytes())
    assert after == kept.serial_number


def serial_at(port: int) -> int:
    context = ssl.create_default_context()
    context.check_hostname = False
    context.verify_mode = ssl.CERT_NONE
    with (
        socket.create_connection(("127.0.0.1", port)) as plain,
        context.wrap_socket(plain) as secure,
    ):
        der = secure.getpeercert(binary_form=True)
        assert der is not None
        return x509.load_der_x509_certificate(der).serial_number


def test_old_tls_is_refused(tmp_path: Path) -> None:
    lan = network.prepare(tmp_path / "keys", 8477, 8478, PLACE)
    context = network.tls_context(lan.files)
    assert context.minimum_version == ssl.TLSVersion.TLSv1_2
