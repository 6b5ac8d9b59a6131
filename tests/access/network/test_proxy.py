"""Behind a proxy: who asks is whom the proxy names, and only the proxy may name anybody."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import httpx
import pytest

from bradawl.access.core.audit import Audit
from bradawl.access.web.auth import Access
from bradawl.database.connection import open_engine
from tests.access.devices.wishes import wish
from tests.fresh import furnished
from tests.serving.running import serving


@dataclass
class Running:
    port: int
    data: Path
    printed: str

    def ask(self, name: str, **headers: str) -> httpx.Response:
        return httpx.post(
            f"http://127.0.0.1:{self.port}/api/v1/pairing",
            json=wish(name=name),
            headers={"Host": "shop.example", **headers},
        )

    def addresses(self) -> list[str]:
        engine = open_engine(f"sqlite:///{self.data / 'bradawl.sqlite3'}")
        try:
            return [line.address for line in Audit(engine, lambda: 0).lines()]
        finally:
            engine.dispose()


def started(data: Path, *mode: str) -> Iterator[Running]:
    with serving(furnished(data), *mode) as server:
        server.ask("/app/")  # until it listens
        yield Running(server.port, data, server.printed)


@pytest.fixture(scope="module")
def proxied(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Running]:
    yield from started(tmp_path_factory.mktemp("proxied"), "--proxy")


@pytest.fixture(scope="module")
def local(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Running]:
    yield from started(tmp_path_factory.mktemp("local"))


def test_the_proxys_client_is_who_asks_and_must_be_approved(proxied: Running) -> None:
    answer = proxied.ask("far phone", **{"X-Forwarded-For": "203.0.113.7"})
    assert answer.json()["state"] == "waiting"
    assert proxied.addresses()[0] == "203.0.113.7"
    assert answer.headers["strict-transport-security"].startswith("max-age=31536000")


def test_even_a_request_from_this_machine_itself_must_be_approved(proxied: Running) -> None:
    assert proxied.ask("near phone").json()["state"] == "waiting"


def test_the_terminal_shows_the_way_in(proxied: Running) -> None:
    assert re.search(r"/desk/first#[\w-]{43}", proxied.printed)


def test_on_one_machine_nobody_can_pretend_to_come_from_elsewhere_or_from_here(
    local: Running,
) -> None:
    plain = local.ask("this phone", Host="localhost")
    assert plain.json()["state"] == "approved"
    forwarded = local.ask("x", Host="localhost", **{"X-Forwarded-For": "127.0.0.1"})
    assert forwarded.json()["state"] == "waiting"
    assert local.ask("x").status_code == 421
    assert set(local.addresses()) == {"127.0.0.1"}


def test_the_local_terminal_says_that_the_desk_is_open(local: Running) -> None:
    assert "open to this computer" in local.printed
    engine = open_engine(f"sqlite:///{local.data / 'bradawl.sqlite3'}")
    assert not Access(engine).people.anybody_can_sign_in()
    engine.dispose()
