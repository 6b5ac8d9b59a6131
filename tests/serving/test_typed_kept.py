"""What was typed at the desk survives a lost connection, an ended session, and a page left.

The whole server in local mode, in a real browser. No source but the promise itself.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi import FastAPI
from playwright.sync_api import Browser, Page, expect

from bradawl.common import settings
from bradawl.serving.app import create_app
from tests.access.site import Site
from tests.browsing import launched, opened
from tests.fresh import furnished

# one browser at a time
pytestmark = pytest.mark.xdist_group("desk-browser")

VISIT = "a1" * 16
BRIEF = f"/desk/visits/{VISIT}/brief"
PASSPHRASE = "four plain words together"


@pytest.fixture(scope="module")
def app(tmp_path_factory: pytest.TempPathFactory) -> FastAPI:
    return create_app(settings.at(furnished(tmp_path_factory.mktemp("data"))))


@pytest.fixture(scope="module")
def address(app: FastAPI) -> Iterator[str]:
    core = app.state.core
    core.log.append("d1" * 16, VISIT, [("car/make", "Testa")])
    token = core.access.people.invite(core.access.first_owner().id)
    core.access.people.accept(token, "Ada", PASSPHRASE, PASSPHRASE)
    with Site(app) as site:
        yield site


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with launched() as running:
        yield running


def sign_in(page: Page) -> None:
    page.get_by_label("Name", exact=True).fill("Ada")
    page.get_by_label("Passphrase", exact=True).fill(PASSPHRASE)
    page.get_by_role("button", name="Sign in", exact=True).click()


@pytest.fixture
def page(browser: Browser, address: str) -> Iterator[Page]:
    context = opened(browser, viewport={"width": 1366, "height": 768})
    page = context.new_page()
    page.goto(address + BRIEF)
    sign_in(page)
    page.wait_for_url(address + BRIEF)
    yield page
    context.close()


def type_budget(page: Page, typed: str) -> None:
    page.locator("[name=budget]").fill(typed)


def save(page: Page) -> None:
    page.locator("form[action$='/brief'] .save button").click()


def recorded(app: FastAPI) -> list[object]:
    events = app.state.core.log.events_of(VISIT)
    return [event["value"] for event in events if event["put"] == "brief/budget"]


def test_a_session_that_ended_leads_back_to_what_was_typed(
    app: FastAPI, page: Page, address: str
) -> None:
    type_budget(page, "4100")
    page.context.clear_cookies()
    save(page)
    expect(page.get_by_role("alert")).to_contain_text("signed out")
    page.get_by_role("link", name="Sign in and come back").click()
    sign_in(page)
    page.wait_for_url(address + BRIEF)
    expect(page.get_by_role("status")).to_contain_text("What you typed is back")
    expect(page.locator("[name=budget]")).to_have_value("4100")
    save(page)
    expect(page.get_by_text("What you typed is back")).to_have_count(0)
    expect(page.locator("[name=budget]")).to_have_value("4100")
    assert recorded(app)[-1] in (4100, 410000)


def test_a_form_refused_for_want_of_a_session_offers_the_way_back(
    app: FastAPI, page: Page, address: str
) -> None:
    """The session ends between the question and the form: the server's own page answers."""
    page.route("**/desk/reading", lambda route: route.fulfill(json={"unread": [], "left": 0}))
    type_budget(page, "4200")
    page.context.clear_cookies()
    save(page)
    page.get_by_role("link", name="Sign in and come back").click()
    sign_in(page)
    page.wait_for_url(address + BRIEF)
    expect(page.locator("[name=budget]")).to_have_value("4200")
    page.get_by_role("button", name="Throw away what I typed").click()
    expect(page.locator("[name=budget]")).not_to_have_value("4200")
    page.reload()
    expect(page.get_by_text("What you typed is back")).to_have_count(0)


def test_a_lost_connection_keeps_the_page_and_says_so(app: FastAPI, page: Page) -> None:
    before = len(recorded(app))
    type_budget(page, "4300")
    page.context.set_offline(True)
    save(page)
    expect(page.get_by_role("alert")).to_contain_text("No answer from Bradawl")
    expect(page.locator("[name=budget]")).to_have_value("4300")
    page.context.set_offline(False)
    save(page)
    expect(page.get_by_role("alert")).to_have_count(0)
    assert len(recorded(app)) == before + 1


def test_leaving_asks_only_where_something_differs_and_it_comes_back(
    page: Page, address: str
) -> None:
    asked: list[str] = []
    page.on("dialog", lambda dialog: (asked.append(dialog.type), dialog.accept()))
    page.goto(address + "/desk/compare")
    assert asked == []
    page.goto(address + BRIEF)
    page.locator("[name=budget]").press_sequentially("9")
    page.locator("[name=budget]").press("Backspace")
    page.get_by_role("link", name="Compare").click()
    page.wait_for_url(address + "/desk/compare")
    assert asked == []
    page.goto(address + BRIEF)
    page.locator("[name=budget]").press_sequentially("9")
    typed = page.locator("[name=budget]").input_value()
    page.get_by_role("link", name="Compare").click()
    page.wait_for_url(address + "/desk/compare")
    assert asked == ["beforeunload"]
    page.goto(address + BRIEF)
    expect(page.locator("[name=budget]")).to_have_value(typed)
    expect(page.get_by_role("status")).to_contain_text("What you typed is back")


def test_signing_out_asks_and_leaves_nothing_for_the_next_person(page: Page, address: str) -> None:
    type_budget(page, "4400")
    page.on("dialog", lambda dialog: dialog.accept())
    page.get_by_role("link", name="Phones and people").click()
    page.wait_for_url("**/desk/devices")
    assert "4400" in page.evaluate("JSON.stringify({...sessionStorage})")
    page.get_by_role("button", name="Sign out", exact=True).first.click()
    page.wait_for_url("**/desk/sign-in")
    assert page.evaluate("sessionStorage.length") == 0


def test_a_passphrase_is_never_kept(page: Page, address: str) -> None:
    page.goto(address + "/desk/confirm?next=/desk/")
    page.locator("[type=password]").fill("something secret")
    page.goto(address + "/desk/compare")
    assert "secret" not in page.evaluate("JSON.stringify({...sessionStorage})")


def test_an_open_desk_says_so_on_each_page_until_a_passphrase_is_set(
    browser: Browser, tmp_path: Path
) -> None:
    app = create_app(settings.at(furnished(tmp_path / "data")))
    app.state.core.log.append("d1" * 16, VISIT, [("car/make", "Testa")])
    with Site(app) as site:
        page = opened(browser, viewport={"width": 390, "height": 844}).new_page()
        for path in ("/desk/", "/desk/compare", BRIEF, "/desk/people", "/desk/visits/none"):
            page.goto(site + path)
            expect(page.get_by_text("This desk is open")).to_be_visible()
        page.get_by_role("link", name="Set a passphrase").click()
        page.get_by_label("Your name").fill("Ada")
        page.get_by_label("Passphrase", exact=True).fill("short")
        page.get_by_label("Type it again").fill("short")
        page.get_by_role("button", name="Save and sign in").click()
        page.wait_for_url("**/desk/passphrase")  # the browser refuses fewer than twelve
        for label in ("Passphrase", "Type it again"):
            page.get_by_label(label, exact=True).fill(PASSPHRASE)
        page.get_by_role("button", name="Save and sign in").click()
        page.wait_for_url(site + "/desk/")
        expect(page.get_by_text("This desk is open")).to_have_count(0)
        page.goto(site + "/desk/passphrase")
        page.wait_for_url("**/desk/people")  # who has one gets a link for another
        page.context.clear_cookies()
        page.goto(site + BRIEF)
        page.wait_for_url(re.compile(r"/desk/sign-in\?next="))
        page.context.close()


def test_a_list_fills_in_under_the_servers_own_content_policy(
    browser: Browser, tmp_path: Path
) -> None:
    app = create_app(settings.at(furnished(tmp_path / "data")))
    for n in range(12):
        app.state.core.log.append("d1" * 16, f"{n:032x}", [("car/make", f"Testa {n}")])
    with Site(app) as site:
        page = opened(browser, viewport={"width": 1366, "height": 768}).new_page()
        page.goto(site + "/desk/")
        expect(page.get_by_role("rowheader").filter(has_text="Testa")).to_have_count(12)
        expect(page.get_by_text("till being read")).to_have_count(0)
        page.context.close()
