"""One browser for each file here; a server and a phone for each test that asks for them.

Not one browser for the whole run: while it is open its event loop runs in this process, and no
other test that shares the process could run one.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from tests.browsing import CAMERA_ALLOWED, FAKE_CAMERA, launched
from tests.phone.phone import Phone
from tests.phone.server import Server


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with launched(FAKE_CAMERA, CAMERA_ALLOWED) as browser:
        yield browser


@pytest.fixture
def server(tmp_path: Path) -> Iterator[Server]:
    server = Server(tmp_path / "data")
    server.start()
    yield server
    server.kill()


@pytest.fixture(scope="module")
def standing_server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """For tests that leave their server alone; one a module, as it lets only so many phones ask."""
    server = Server(tmp_path_factory.mktemp("standing"))
    server.start()
    yield server
    server.kill()


@pytest.fixture
def phone(browser: Browser, request: pytest.FixtureRequest) -> Iterator[Phone]:
    """A new phone, paired: with the test's own server where it asks for one, else the standing."""
    own = "server" if "server" in request.fixturenames else "standing_server"
    phone = Phone(browser, request.getfixturevalue(own).origin)
    phone.open()
    phone.wait_for_sync("server")
    yield phone
    phone.throw_away()
