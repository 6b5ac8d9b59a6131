"""The workshop's certificate is replaced: what the phone tells its owner, and until when.

The app is real and so is its server, which has no authority on this machine: what it says of one is
put in on the way. A real authority in a real browser: tests/access/network/test_trust_walk.py.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Route, expect

from tests.browsing import PICTURES
from tests.phone.phone import Phone
from tests.phone.screens.test_screens import AXE, TAGS
from tests.phone.server import Server

SHOTS = Path(__file__).parents[3] / "build" / "phone"
FIRST_PAGE = "http://192.168.1.5:8001/"
PRESENT = {"name": "Tarn Workshop 2026", "sha256": "a" * 64}
FOLLOWING = {"name": "Tarn Workshop 2027", "sha256": "b" * 64}


class Told:
    """What the server is made to say, and how often it was asked."""

    def __init__(self) -> None:
        self.answer: dict[str, Any] = {}
        self.asked = 0

    def __call__(self, route: Route) -> None:
        self.asked += 1
        route.fulfill(json=self.answer)


@pytest.fixture
def told() -> Told:
    return Told()


@pytest.fixture
def owner(browser: Browser, standing_server: Server, told: Told) -> Iterator[Phone]:
    # a service worker would ask past the route
    phone = Phone(browser, standing_server.origin, service_workers="block", locale="en-US")
    phone.context.route("**/api/v1/trust", told)
    yield phone
    phone.throw_away()


def look_at(phone: Phone, name: str) -> None:
    """Nothing for axe to find; pictures in both themes where they are wanted."""
    SHOTS.mkdir(parents=True, exist_ok=True)
    phone.page.evaluate("scrollTo(0, 0)")
    for theme in ("dark", "light"):
        phone.page.emulate_media(color_scheme=theme)  # type: ignore[arg-type]
        phone.page.evaluate("Promise.all(document.getAnimations().map(({finished}) => finished))")
        if PICTURES:
            phone.page.screenshot(path=SHOTS / f"{name}-{theme}.png")
    phone.page.evaluate(AXE)
    found = phone.page.evaluate(
        "tags => axe.run({runOnly: tags}).then(({violations}) => violations.map(({id}) => id))",
        TAGS,
    )
    assert found == []


def readable(day: date) -> str:
    return f"{day.day} {day:%b} {day.year}"


def test_a_phone_tells_of_the_next_authority_and_then_of_the_former(
    owner: Phone, told: Told
) -> None:
    day = datetime.now(UTC).date() + timedelta(days=46)
    coming = {**FOLLOWING, "takes_over": day.isoformat()}
    told.answer = {"authority": PRESENT, "next": coming, "former": [], "first_page": FIRST_PAGE}
    page = owner.open()
    owner.wait_for_sync("server")
    note = page.locator("[data-authority]")
    expect(note).to_contain_text(f"certificate will be replaced on {readable(day)}")
    expect(note).to_contain_text(FOLLOWING["name"])
    guide = note.get_by_role("link", name="Show me how")
    expect(guide).to_have_attribute("href", FIRST_PAGE)
    done = note.get_by_role("button", name="This phone trusts it")
    expect(done).to_have_count(0)
    look_at(owner, "authority-next")

    owner.context.route(
        f"{FIRST_PAGE}**", lambda route: route.fulfill(content_type="text/html", body="<h1>Steps")
    )
    with owner.context.expect_page() as opened:
        guide.tap()
    expect(opened.value.locator("h1")).to_have_text("Steps")
    opened.value.close()
    page = owner.reopen()
    page.locator("a.sync").tap()
    look_at(owner, "authority-storage")
    page.get_by_role("button", name="This phone trusts it").tap()
    expect(page.locator("[data-authority]")).to_have_count(0)
    before = told.asked
    page = owner.reopen()
    owner.wait_until(lambda: told.asked > before)
    owner.wait_for_sync("server")
    expect(page.locator("[data-authority]")).to_have_count(0)

    told.answer = {
        "authority": FOLLOWING,
        "next": None,
        "former": [{**PRESENT, "until": datetime.now(UTC).date().isoformat()}],
        "first_page": FIRST_PAGE,
    }
    page = owner.reopen()
    note = page.locator("[data-authority=former]")
    expect(note).to_contain_text(PRESENT["name"])
    expect(note).to_contain_text("Remove Profile")
    look_at(owner, "authority-former")
    note.get_by_role("button", name="It's removed").tap()
    expect(note).to_have_count(0)
    asked = told.asked
    page = owner.reopen()
    owner.wait_until(lambda: told.asked > asked)
    owner.wait_for_sync("server")
    expect(page.locator("[data-authority]")).to_have_count(0)


def test_while_nobody_answers_the_storage_screen_says_where_to_look(
    owner: Phone, told: Told
) -> None:
    told.answer = {"authority": PRESENT, "next": None, "former": [], "first_page": FIRST_PAGE}
    page = owner.open()
    owner.wait_for_sync("server")
    owner.wait_until(lambda: told.asked == 1)
    page.locator("a.sync").tap()
    guide = page.get_by_role("link", name="Show me how")
    expect(page.get_by_role("button", name="Send now")).to_be_visible()
    expect(guide).to_have_count(0)
    owner.context.route("**/api/v1/sync/**", lambda route: route.abort())
    page.get_by_role("button", name="Send now").tap()
    expect(page.get_by_text("certificate may have been replaced")).to_be_visible()
    expect(guide).to_have_attribute("href", FIRST_PAGE)
    look_at(owner, "authority-help")
