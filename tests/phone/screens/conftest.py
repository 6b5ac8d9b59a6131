"""One phone for the tests of a file, each with a visit of its own: its judge runs already.

A test that changes settings, looks at what is met for the first time, or counts what the phone
holds is marked `new_phone`.
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser

from tests.phone.conftest import paired
from tests.phone.phone import Phone
from tests.phone.server import Server


@pytest.fixture(scope="module")
def phone_in_use(browser: Browser, standing_server: Server) -> Iterator[Phone]:
    with paired(browser, standing_server) as phone:
        yield phone


@pytest.fixture
def phone(browser: Browser, request: pytest.FixtureRequest) -> Iterator[Phone]:
    """A phone, paired, at its list of cars."""
    if "server" in request.fixturenames or request.node.get_closest_marker("new_phone"):
        own = "server" if "server" in request.fixturenames else "standing_server"
        with paired(browser, request.getfixturevalue(own)) as phone:
            yield phone
    else:
        phone = request.getfixturevalue("phone_in_use")
        phone.put_down()
        yield phone
        assert not phone.errors, phone.errors
