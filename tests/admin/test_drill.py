"""The restore drill as an owner lives it: commands, real phones in a browser, the desk's page."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from tests import forked
from tests.browsing import launched
from tests.phone.phone import Phone, picture
from tests.phone.server import Server


@pytest.fixture
def browser() -> Iterator[Browser]:
    with launched() as browser:
        yield browser


@pytest.fixture
def server(tmp_path: Path) -> Iterator[Server]:
    one = Server(tmp_path / "data")
    one.start()
    yield one
    one.kill()


def bradawl(server: Server, *command: str) -> str:
    """What a command says; it must succeed."""
    done = forked.run(*command, env={**os.environ, "BRADAWL_DATA": str(server.data)})
    assert done.returncode == 0, done.stderr
    return done.stdout


def a_car(phone: Phone, make: str, photo: int) -> None:
    phone.page.goto(f"{phone.origin}/app/#/")
    phone.begin(make=make)
    card = phone.card("accident.inner-wings")
    card.get_by_role("button", name="Minor", exact=True).tap()
    phone.add_photo(card, picture(photo))
    expect(card.locator("img")).to_have_count(1)
    phone.wait_for_sync("server")


def listed(desk: Page, server: Server, make: str) -> bool:
    desk.goto(f"{server.origin}/desk/")
    return desk.get_by_text(make).count() > 0


def test_a_restored_server_is_refilled_by_the_phones_also_with_what_a_lost_one_had(
    browser: Browser, server: Server, tmp_path: Path
) -> None:
    mine, lost = Phone(browser, server.origin), Phone(browser, server.origin)
    for phone in (mine, lost):
        phone.open()
        phone.wait_for_sync("server")
    a_car(mine, "Beforehand", 1)
    # Yesterday's backup, while the server runs.
    backup = tmp_path / "yesterday.tar"
    assert "1 photo," in bradawl(server, "backup", str(backup))
    a_car(mine, "Afterwards", 2)
    a_car(lost, "Elsewhere", 3)
    mine.reopen()
    mine.wait_for_sync("server")
    mine.page.goto(f"{server.origin}/app/#/")
    expect(mine.page.locator(f'[data-visit="{lost.visit}"]')).to_contain_text("Elsewhere")
    # The second phone falls into a river; the server's disk dies; the backup comes back.
    lost.throw_away()
    server.stop()
    shutil.rmtree(server.data)
    said = bradawl(server, "restore", str(backup))
    assert "comes back when each phone next connects" in said
    server.start()
    desk = mine.context.new_page()
    desk.goto(f"{server.origin}/desk/")
    expect(desk.get_by_text("Beforehand").first).to_be_visible()
    expect(desk.get_by_text("Afterwards")).to_have_count(0)

    mine.reopen()
    mine.wait_until(lambda: listed(desk, server, "Afterwards"))
    mine.wait_for_sync("server")
    assert mine.unsent() == 0
    # What only the lost phone had comes from the one that had fetched it, signed as it was; its
    # photo was on that phone alone.
    mine.wait_until(lambda: listed(desk, server, "Elsewhere"))
    said = bradawl(server, "doctor")
    assert "2 photos; 1 photo still on its phone" in said
    desk.goto(f"{server.origin}/desk/keep")
    expect(desk.locator("body")).to_contain_text("No phone has seen anything")
    desk.close()
    mine.throw_away()
