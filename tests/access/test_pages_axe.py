"""Every page of access for everybody: axe finds nothing, light and dark, on phone and desk."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

import pytest
from fastapi import FastAPI
from playwright.sync_api import Browser, Page

from bradawl.access import lan as network
from bradawl.access.authority.lifecycle import open_authority
from bradawl.access.authority.names import this_machine
from bradawl.access.web.onboarding import first_app
from bradawl.common import settings
from bradawl.serving.app import create_app
from tests import browsing
from tests.access.site import Site
from tests.amount import amount
from tests.browsing import AXE, EVERYTHING, LOOKS_AND_TARGETS, launched, opened
from tests.fresh import furnished

VISIT = "a1" * 16
PAGES = [
    "/desk/sign-in",
    "/desk/first",
    "/desk/confirm",
    "/desk/passphrase",
    "/desk/devices",
    "/desk/devices/add",
    "/desk/devices/ways",
    "/desk/people",
    "/desk/sessions",
    "/desk/keys",
    "/desk/audit",
    "/desk/keep",
    "/desk/shared",
    "/desk/welcome",
    *(f"/desk/welcome/{one}" for one in ("shop", "place", "backup", "phone")),
    f"/desk/visits/{VISIT}/share",
    f"/desk/visits/{VISIT}/forget",
    f"/r/{VISIT}",
    "/hello/check",
]
#: WCAG 2.2 A and AA; AAA contrast (1.4.6) is what the design asks for.
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
LONG = bool(amount(1, short=0))
ALL = {**EVERYTHING, "runOnly": {"type": "tag", "values": RULES}}


@pytest.fixture(scope="module")
def app(tmp_path_factory: pytest.TempPathFactory) -> FastAPI:
    """The whole server for this machine only: its desk is open, so every page can be looked at."""
    return create_app(settings.at(furnished(tmp_path_factory.mktemp("data"))))


@pytest.fixture(scope="module")
def server(app: FastAPI) -> Iterator[str]:
    core = app.state.core
    events = [
        ("about/seller", "Tilda Wexalby"),
        ("about/place", "12 Quarry Lane"),
        ("items/papers.receipts/note", "Wexalby has them"),
    ]
    core.log.append("d1" * 16, VISIT, events)
    owner = core.access.first_owner()
    core.access.pairing.pair_at_once("d1" * 16, "Blue phone", owner.id)
    core.access.pairing.pair_at_once("d2" * 16, "Old phone", owner.id)
    core.access.devices.revoke("d2" * 16)
    core.access.people.add("Rea", "reader")
    core.access.sessions.begin(owner, "Safari on iPhone", "192.168.1.30")
    open_authority(core.settings.keys / "authority", this_machine())
    core.signers.replace_shop_key("Example workshop")
    core.access.links.make(VISIT, "condition", "The buyer", 7)
    core.access.missing.note({"d1" * 16: 9}, core.log.held())
    core.access.audit.record("Ada", "did something", "to something", "192.168.1.5")
    core.log.append("d7" * 16, VISIT, [("car/make", "Testa")])
    with Site(app) as origin:
        yield origin


@pytest.fixture(scope="module")
def first(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    lan = network.prepare(tmp_path_factory.mktemp("keys"), 1, 2)
    with Site(first_app(lan)) as origin:
        yield origin


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with launched() as browser:
        yield browser


@pytest.fixture(scope="module")
def window(browser: Browser) -> Iterator[Page]:
    context = opened(browser, bypass_csp=True)
    yield context.new_page()
    context.close()


def violations(
    page: Page,
    address: str,
    looks: list[tuple[int, Any]],
    then: Callable[[Page], None] = lambda _: None,
) -> dict[Any, Any]:
    """What is wrong on a page at each width and colour scheme; the page is loaded once for all.

    `then` leads on from the address to the page that is meant.
    """
    wrong = {}
    answer = page.goto(address)
    assert answer is not None
    assert answer.ok, answer.status
    then(page)
    page.add_script_tag(path=AXE)
    for number, (width, scheme) in enumerate(looks):
        page.set_viewport_size({"width": width, "height": 844})
        page.emulate_media(color_scheme=scheme)
        found = browsing.violations(page, LOOKS_AND_TARGETS if number and not LONG else ALL)
        said = [f"{one['id']}: {[node['html'] for node in one['nodes']][:3]}" for one in found]
        if page.evaluate(
            "document.documentElement.scrollWidth > document.documentElement.clientWidth"
        ):
            said.append("wider than the screen")
        if said:
            wrong[width, scheme] = said
    return wrong


@pytest.mark.parametrize("path", PAGES)
def test_axe_finds_nothing_on_the_pages_of_access(window: Page, server: str, path: str) -> None:
    looks = [(390, "light"), (390, "dark"), (1280, "light")]
    assert violations(window, server + path, looks) == {}


@pytest.mark.parametrize("device", ["d1", "d2", "d7", "d9"])
def test_axe_finds_nothing_where_a_phone_is_approved(
    window: Page, server: str, app: FastAPI, device: str
) -> None:
    """Known, revoked, only in the log, and new with a name that is in use."""

    asked = app.state.core.access.pairing.ask(device * 16, "B1ue phone", "192.168.1.40")

    def find(page: Page) -> None:
        page.get_by_label("Code on the phone").fill(asked.code)
        page.get_by_role("button", name="Find the phone").click()
        page.locator(".claim").wait_for()

    looks = [(390, "light"), (390, "dark"), (1280, "light")]
    assert violations(window, f"{server}/desk/devices/add", looks, find) == {}


def test_axe_finds_nothing_on_the_first_page(window: Page, first: str) -> None:
    assert violations(window, first + "/", [(390, "light"), (390, "dark")]) == {}
