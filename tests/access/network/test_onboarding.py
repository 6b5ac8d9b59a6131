"""The plain port gives the first page and the public certificate, and nothing else."""

from __future__ import annotations

import asyncio
import datetime as dt
import ipaddress
import re
import socket
import ssl
import urllib.request
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from pathlib import Path

import pytest
from cryptography import x509
from fastapi import FastAPI
from fastapi.testclient import TestClient

from bradawl.access import lan as network
from bradawl.access.authority import lifecycle
from bradawl.access.authority.certificates import Authority
from bradawl.access.authority.names import Place
from bradawl.access.lan import Lan
from bradawl.access.web import onboarding
from bradawl.access.web.onboarding import AUTHORITY_TYPE, check_router, first_app
from bradawl.common import errors
from bradawl.listening.ports import number_of, open_neighboring_ports

PLACE = Place(("shop.local", "shop.home.arpa"), (ipaddress.ip_address("192.168.1.5"),))
ORIGINS = ["https://shop.local:8477", "https://192.168.1.5:8477"]
DAY = dt.timedelta(days=1)


@pytest.fixture
def lan(tmp_path: Path) -> Lan:
    return network.prepare(tmp_path / "keys", 8477, 8478, PLACE)


@pytest.fixture
def authority(lan: Lan) -> Authority:
    return lan.standing.authority


@pytest.fixture
def plain(lan: Lan) -> TestClient:
    app = first_app(lan)
    return TestClient(app, base_url="http://192.168.1.5:8478", raise_server_exceptions=False)


@pytest.fixture
def ending(tmp_path: Path) -> Lan:
    """A network whose authority ends in 30 days, so that the next one waits."""
    keys = tmp_path / "keys"
    lifecycle.open_authority(keys / "authority", PLACE, now=dt.datetime.now(dt.UTC) - 335 * DAY)
    return network.prepare(keys, 8477, 8478, PLACE)


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
    assert x509.load_der_x509_certificate(answer.content) == authority.root


@pytest.mark.parametrize(
    "path",
    [
        "/desk/",
        "/api/v1/me",
        "/app/",
        "/hello/issuing.pem",
        "/hello/..%2fissuing.pem",
        "/hello/bradawl-next-authority.crt",
        "/api/v1/trust",
    ],
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


def test_an_address_that_a_policy_cannot_name_is_covered_all_the_same(tmp_path: Path) -> None:
    # CSP Level 3, host-source: no IPv6 literals
    place = Place((), (ipaddress.ip_address("fd00::2"),))
    client = TestClient(first_app(network.prepare(tmp_path, 8477, 8478, place)))
    assert "connect-src https:;" in client.get("/").headers["content-security-policy"]


def test_a_machine_without_an_address_asks_nobody(tmp_path: Path) -> None:
    lan = network.prepare(tmp_path, 8477, 8478, Place((), ()))
    assert (
        "connect-src 'none';"
        in TestClient(first_app(lan)).get("/").headers["content-security-policy"]
    )
    assert "https://127.0.0.1" in network.greeting(lan)


@pytest.mark.parametrize("name", ["onboarding.js", "check.js", "onboarding.css", "mark.svg"])
def test_every_file_that_the_pages_name_is_there(plain: TestClient, name: str) -> None:
    assert plain.get(f"/hello/{name}").status_code == 200


def test_the_self_test_and_the_proof_of_trust_are_on_the_server_itself(lan: Lan) -> None:
    app = FastAPI()
    app.include_router(check_router(lan))
    client = TestClient(app)
    page = client.get("/hello/check").text
    steps = re.findall(r'<li id="(\w+)"', page)
    assert steps == ["reached", "trusted", "offline", "kept", "camera", "installed"]
    ping = client.get("/hello/ping")
    assert (ping.status_code, ping.content) == (204, b"")
    assert ping.headers["cross-origin-resource-policy"] == "cross-origin"


def test_the_greeting_leads_to_the_plain_page_and_shows_what_to_compare(lan: Lan) -> None:
    text = network.greeting(lan)
    assert "http://192.168.1.5:8478/" in text
    assert "https://shop.local:8477" in text
    shown = re.sub(r"\s", "", lan.standing.authority.fingerprint)
    assert shown in re.sub(r"\s", "", text)
    assert f"It ends {lifecycle.day_of(lan.standing.authority.ends)}" in text
    assert lan.origins == ORIGINS
    assert set(lan.hosts) == {"shop.local", "shop.home.arpa", "localhost", "192.168.1.5"}
    assert "shop" not in lan.hosts


# The next authority, and those before


def test_weeks_before_its_end_terminal_page_and_app_speak_of_the_next_one(ending: Lan) -> None:
    following = ending.standing.next
    assert following is not None
    assert ending.standing.takes_over is not None
    day = lifecycle.day_of(ending.standing.takes_over)
    said = " ".join(network.greeting(ending).split())
    assert f"{following.name}”, takes over {day}" in said
    plain = TestClient(first_app(ending))
    page = plain.get("/").text
    assert f"until {day}" in page, "what its script says"
    assert f'data-next-print="{following.fingerprint}"' in page
    assert 'data-next-origins="https://shop.local:8478 https://192.168.1.5:8478"' in page
    policy = plain.get("/").headers["content-security-policy"]
    assert "https://192.168.1.5:8478" in policy
    certificate = plain.get("/hello/bradawl-next-authority.crt").content
    assert x509.load_der_x509_certificate(certificate) == following.root
    told = onboarding.trust_of(ending)
    assert told["next"] == {
        "name": following.name,
        "sha256": following.sha256,
        "takes_over": ending.standing.takes_over.date().isoformat(),
    }
    assert told["first_page"] == "http://192.168.1.5:8478/"


def test_a_replaced_one_is_named_until_phones_have_had_time(lan: Lan, tmp_path: Path) -> None:
    old = lan.standing.authority
    lifecycle.replace(tmp_path / "keys" / "authority", PLACE)
    assert lan.look_again(PLACE)
    new = lan.standing.authority
    page = TestClient(first_app(lan)).get("/").text
    assert new.fingerprint in page
    assert "Remove the old certificate" in page
    assert old.name in page
    assert old.fingerprint in page
    said = " ".join(network.greeting(lan).split())
    assert f"Phones that trusted “{old.name}”" in said
    told = onboarding.trust_of(lan)
    assert told["authority"]["sha256"] == new.sha256
    assert [one["sha256"] for one in told["former"]] == [old.sha256]


def test_without_a_network_there_is_nothing_to_trust() -> None:
    app = FastAPI()
    errors.install_plain(app)
    app.include_router(check_router(None))
    client = TestClient(app)
    told = client.get("/api/v1/trust").json()
    assert told == {"authority": None, "next": None, "former": [], "first_page": ""}
    assert client.get("/hello/bradawl-authority.crt").status_code == 404


def test_a_machine_with_another_name_says_what_phones_cannot_reach(tmp_path: Path) -> None:
    lifecycle.open_authority(tmp_path / "authority", PLACE)
    renamed = Place(("van.local", "van.home.arpa"), PLACE.addresses)
    lan = network.prepare(tmp_path, 8477, 8478, renamed)
    assert lan.origins == ["https://192.168.1.5:8477"]
    assert "now called van.local" in " ".join(network.greeting(lan).split())
    assert "bradawl authority replace" in network.greeting(lan)


# While it runs


class Scene:
    """A network served in this process; `place` is where the machine is."""

    def __init__(self, keys: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        self.place = Place(("shop.local",), (ipaddress.ip_address("127.0.0.1"),))
        monkeypatch.setattr(network, "this_machine", lambda: self.place)
        self.keys = keys
        self.changes = 0

    @asynccontextmanager
    async def serving(self) -> AsyncIterator[Lan]:
        main, first = open_neighboring_ports(0)
        lan = network.prepare(self.keys, number_of(main), number_of(first), self.place)
        up = asyncio.Event()

        def changed() -> None:
            self.changes += 1

        serving = asyncio.create_task(
            network.serve(
                FastAPI(), lan, main, first, started=up.set, changed=changed, look_every_s=0.05
            )
        )
        try:
            await asyncio.wait_for(up.wait(), 60)
            yield lan
        finally:
            serving.cancel()
            await asyncio.gather(serving, return_exceptions=True)


async def until(what: Callable[[], bool]) -> None:
    async with asyncio.timeout(60):
        while not await asyncio.to_thread(what):
            await asyncio.sleep(0.02)


@pytest.fixture
def scene(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Scene:
    return Scene(tmp_path / "keys", monkeypatch)


def test_a_new_certificate_is_used_without_a_restart(scene: Scene) -> None:
    """A machine with a new address: the next connection sees it, and is answered there."""

    async def play() -> None:
        async with scene.serving() as lan:
            before = await asyncio.to_thread(serial_at, lan.port)
            scene.place = Place(("shop.local",), (ipaddress.ip_address("10.0.0.7"),))
            await until(lambda: serial_at(lan.port) != before)
            assert "10.0.0.7" in lan.hosts
            assert "127.0.0.1" not in lan.hosts

    asyncio.run(play())
    assert scene.changes == 0  # nothing that anybody must do


def test_a_replaced_authority_is_taken_up_without_a_restart(scene: Scene) -> None:
    async def play() -> None:
        async with scene.serving() as lan:
            old = lan.standing.authority
            assert await asyncio.to_thread(trusts, old, lan.port)
            new = lifecycle.replace(scene.keys / "authority", scene.place).authority
            await until(lambda: trusts(new, lan.port))
            assert not await asyncio.to_thread(trusts, old, lan.port)
            page = await asyncio.to_thread(page_at, lan.first_port)
            assert new.fingerprint in page
            assert old.name in page

    asyncio.run(play())
    assert scene.changes == 1


def test_the_port_of_the_first_meeting_proves_trust_in_the_next_authority(scene: Scene) -> None:
    long_ago = dt.datetime.now(dt.UTC) - 335 * DAY
    lifecycle.open_authority(scene.keys / "authority", scene.place, now=long_ago)

    async def play() -> None:
        async with scene.serving() as lan:
            following = lan.standing.next
            assert following is not None

            def meet() -> None:
                assert trusts(lan.standing.authority, lan.port)
                assert not trusts(following, lan.port)
                assert trusts(following, lan.first_port)
                assert not trusts(lan.standing.authority, lan.first_port)
                assert following.fingerprint in page_at(lan.first_port)

            await asyncio.to_thread(meet)

    asyncio.run(play())


def test_without_a_next_one_that_port_is_plain(scene: Scene) -> None:
    async def play() -> None:
        async with scene.serving() as lan:
            here = lan.standing.authority
            assert not await asyncio.to_thread(trusts, here, lan.first_port)
            assert here.fingerprint in await asyncio.to_thread(page_at, lan.first_port)

    asyncio.run(play())


def test_a_disk_that_fails_does_not_end_the_care_for_certificates(
    scene: Scene, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    look_after = lifecycle.look_after
    fails = True

    def failing(folder: Path, place: Place) -> lifecycle.Standing:
        if fails:
            raise OSError(28, "No space left on device")
        return look_after(folder, place)

    async def play() -> None:
        nonlocal fails
        async with scene.serving() as lan:
            monkeypatch.setattr(lifecycle, "look_after", failing)
            await until(lambda: "could not be looked after" in caplog.text)
            fails = False
            new = lifecycle.replace(scene.keys / "authority", scene.place).authority
            await until(lambda: lan.standing.authority.sha256 == new.sha256)

    asyncio.run(play())


def trusts(authority: Authority, port: int) -> bool:
    """Whether a client that trusts this authority alone gets an answer over TLS."""
    context = ssl.create_default_context(cadata=authority.pem.decode())
    try:
        with (
            socket.create_connection(("127.0.0.1", port), 60) as plain,
            context.wrap_socket(plain, server_hostname="shop.local") as secure,
        ):
            secure.sendall(b"GET /hello/ping HTTP/1.1\r\nHost: shop.local\r\n\r\n")
            return secure.recv(5) == b"HTTP/"
    except OSError:
        return False


def page_at(port: int) -> str:
    """The first page, in plain http."""
    with urllib.request.urlopen(f"http://127.0.0.1:{port}/", timeout=60) as answer:
        body: bytes = answer.read()
    return body.decode()


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


def test_old_tls_is_refused(lan: Lan) -> None:
    for context in (lan.context, network.tls_context(lan.files)):
        assert context.minimum_version == ssl.TLSVersion.TLSv1_2
