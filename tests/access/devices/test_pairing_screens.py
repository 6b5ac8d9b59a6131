"""Pairing as two people see it: the app's own waiting screen, and the owner's page at the desk."""

from __future__ import annotations

import json
import os
import sqlite3
from collections.abc import Iterator
from contextlib import closing

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Request, expect

from bradawl.access.web.auth import DEVICE_COOKIE
from tests import browsing
from tests.access.walking import (
    SIZE,
    Running,
    approve,
    ask_to_be_paired,
    choose_passphrase,
    find_at_desk,
    on_the_server,
    resolving,
    serving,
    shown_on,
    trust,
)
from tests.browsing import launched, look_at_cars


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Running]:
    with serving(tmp_path_factory.mktemp("data")) as running:
        yield running


@pytest.fixture(scope="module")
def browser(server: Running, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    """Trusts the workshop's authority; every context of it is a phone or a computer of its own."""
    home = tmp_path_factory.mktemp("home")
    trust(home, server.authority)
    with launched(resolving(server.name), env={**os.environ, "HOME": str(home)}) as browser:
        yield browser


@pytest.fixture(scope="module")
def desk(browser: Browser, server: Running) -> Page:
    page = browsing.opened(browser).new_page()
    choose_passphrase(page, server)
    return page


@pytest.fixture
def phone(browser: Browser, server: Running) -> Iterator[Page]:
    context = browsing.opened(browser, viewport=SIZE, has_touch=True, is_mobile=True)
    yield opened(context, server)
    context.close()


def opened(context: BrowserContext, server: Running) -> Page:
    page = context.new_page()
    page.goto(f"{server.origin}/app/")
    return page


def says(phone: Page, sentence: str) -> None:
    told = phone.get_by_role("status").filter(has_text=sentence)
    expect(told).to_be_visible()


def test_a_refused_phone_says_so_and_may_ask_again(
    phone: Page, desk: Page, server: Running
) -> None:
    code, words = ask_to_be_paired(phone)
    expect(find_at_desk(desk, server, code)).to_have_text(words)
    desk.get_by_role("button", name="Refuse").click()
    says(phone, "turned this phone down")
    assert DEVICE_COOKIE not in {one["name"] for one in phone.context.cookies()}
    phone.get_by_role("button", name="Ask again").click()
    other, other_words = shown_on(phone)
    assert other != code
    assert other_words != words
    expect(find_at_desk(desk, server, other)).to_have_text(other_words)
    approve(desk)
    says(phone, "Paired.")
    on_the_server(phone)


def test_a_code_that_ran_out_says_so_on_both_screens(
    phone: Page, desk: Page, server: Running
) -> None:
    code, _ = ask_to_be_paired(phone)
    expect(phone.get_by_text("Expires in")).to_contain_text("4:5")
    with closing(sqlite3.connect(server.data / "bradawl.sqlite3")) as database:
        # Five minutes later.
        database.execute("UPDATE access_pairing SET expires_ms = expires_ms - 300000")
        database.commit()
    says(phone, "The code has expired")
    find_at_desk(desk, server, code)
    expect(desk.get_by_role("alert")).to_contain_text("No waiting phone shows this code")
    phone.get_by_role("button", name="Ask again").click()
    again, words = shown_on(phone)
    expect(find_at_desk(desk, server, again)).to_have_text(words)


def test_a_code_runs_out_on_a_phone_that_reaches_nobody(phone: Page) -> None:
    phone.clock.install()
    ask_to_be_paired(phone)
    phone.context.set_offline(True)
    phone.clock.fast_forward("04:50")
    expect(phone.locator(".code")).to_be_visible()
    phone.clock.fast_forward("00:20")
    says(phone, "The code has expired")


def test_one_approval_gives_one_phone_one_token(
    phone: Page, desk: Page, server: Running, browser: Browser
) -> None:
    secrets: set[str] = set()

    def overheard(request: Request) -> None:
        if request.url.endswith("/api/v1/pairing/poll"):
            secrets.add(json.loads(request.post_data or "{}")["secret"])

    phone.on("request", overheard)
    code, words = ask_to_be_paired(phone, "Blue phone")
    expect(find_at_desk(desk, server, code)).to_have_text(words)
    approve(desk)
    says(phone, "Paired.")
    assert len(secrets) == 1
    thief = browsing.opened(browser)
    page = thief.new_page()
    page.goto(f"{server.origin}/hello/check")
    answer = page.evaluate(
        """async (secret) => {
          const body = JSON.stringify({secret});
          const headers = {"Content-Type": "application/json"};
          const options = {method: "POST", headers, body};
          return (await fetch("/api/v1/pairing/poll", options)).json();
        }""",
        secrets.pop(),
    )
    assert answer == {"state": "expired"}
    assert thief.cookies() == []
    thief.close()
    find_at_desk(desk, server, code)
    expect(desk.get_by_role("alert")).to_contain_text("No waiting phone shows this code")


def test_a_phone_closed_on_the_way_to_the_desk_goes_on_with_its_code(
    phone: Page, desk: Page, server: Running
) -> None:
    code, words = ask_to_be_paired(phone)
    context = phone.context
    phone.close()
    phone = opened(context, server)
    assert shown_on(phone) == (code, words)
    expect(find_at_desk(desk, server, code)).to_have_text(words)
    approve(desk)
    says(phone, "Paired.")
    on_the_server(phone)


def test_a_revoked_phone_keeps_what_it_holds_and_sends_it_when_paired_again(
    phone: Page, desk: Page, server: Running
) -> None:
    code, words = ask_to_be_paired(phone, "Lost phone")
    expect(find_at_desk(desk, server, code)).to_have_text(words)
    approve(desk)
    says(phone, "Paired.")
    on_the_server(phone)

    desk.goto(f"{server.origin}/desk/devices")
    desk.locator("summary", has_text="Block Lost phone").click()
    desk.get_by_role("button", name="Yes, block").click()
    expect(desk.get_by_role("row").filter(has_text="Lost phone")).to_contain_text("Blocked")
    phone.get_by_role("link", name="To the cars").click()
    look_at_cars(phone)
    phone.get_by_role("button", name="Start a car").click()
    make = phone.get_by_label("Make", exact=True)
    make.fill("Lostmobile")
    make.blur()
    line = phone.locator("a.sync")
    expect(line).to_have_attribute("data-state", "pair")
    expect(line).not_to_have_attribute("data-unsent", "0")
    phone.reload()
    expect(phone.get_by_label("Make", exact=True)).to_have_value("Lostmobile")
    desk.goto(f"{server.origin}/desk/")
    expect(desk.get_by_text("Lostmobile")).to_have_count(0)

    code, words = ask_to_be_paired(phone, "Found phone")
    expect(find_at_desk(desk, server, code)).to_have_text(words)
    expect(desk.locator(".claim")).to_contain_text("Lost phone")
    approve(desk)
    expect(desk.get_by_role("alert")).to_contain_text("We know this phone")
    desk.get_by_label("“Lost phone” is in my hand").check()
    approve(desk)
    says(phone, "Paired.")
    on_the_server(phone)
    # The list draws itself anew until it has the phone; led away before, it would come back.
    expect(desk.locator("summary", has_text="Block Lost phone")).to_be_visible()
    expect(desk.get_by_role("status")).to_have_count(0)
    desk.goto(f"{server.origin}/desk/")
    expect(desk.get_by_text("Lostmobile").first).to_be_visible()
