"""A phone and an authority that ends, or is replaced: what the phone's owner is led through.

In Chromium, whose trust certutil changes as a person changes it in a phone's settings.
"""

from __future__ import annotations

import os
import re
import subprocess
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from playwright.sync_api import Error, Page, Playwright, expect, sync_playwright

from bradawl.access.authority import lifecycle
from bradawl.access.authority.names import this_machine
from tests import forked
from tests.access.walking import Profile, Running, serving


@pytest.fixture(scope="module")
def playwright() -> Iterator[Playwright]:
    with sync_playwright() as running:
        yield running


@pytest.fixture
def phone(playwright: Playwright, tmp_path: Path) -> Iterator[Profile]:
    one = Profile(playwright, tmp_path / "phone", list(this_machine().names))
    yield one
    one.stop()


def fetched(page: Page, folder: Path, called: str) -> Path:
    """The certificate that the first page hands over, and its fingerprint as the page shows it."""
    with page.expect_download() as download:
        page.locator("#file").click()
    assert download.value.suggested_filename == called
    path = folder / called
    download.value.save_as(path)
    openssl = ["openssl", "x509", "-inform", "der", "-noout", "-fingerprint", "-sha256", "-in"]
    told = subprocess.run([*openssl, path], capture_output=True, text=True, check=True)
    shown = re.sub(r"\s", "", page.locator("#learn .print").inner_text())
    assert told.stdout.strip().split("=")[1].replace(":", "") == shown
    return path


def first_page(phone: Profile, server: Running) -> Page:
    page = phone.start()
    page.goto(server.first_page)
    return page


def is_trusted(phone: Profile, server: Running) -> bool:
    page = phone.start()
    try:
        page.goto(f"{server.origin}/app/")
    except Error as refused:
        if "ERR_CERT_AUTHORITY_INVALID" not in str(refused):
            raise
        return False
    return True


def test_a_phone_learns_the_next_authority_before_it_takes_over(
    phone: Profile, tmp_path: Path
) -> None:
    data = tmp_path / "data"
    place = this_machine()
    now = datetime.now(UTC)
    lifecycle.open_authority(data / "keys" / "authority", place, now=now - timedelta(days=320))
    with serving(data) as server:
        standing = lifecycle.read(data / "keys" / "authority")
        assert standing is not None
        assert standing.takes_over is not None
        day = lifecycle.day_of(standing.takes_over)
        assert day in server.printed
        phone.learn(server.authority)
        page = first_page(phone, server)
        expect(page.locator("#state")).to_contain_text(f"trusts the shop until {day}")
        expect(page.get_by_role("heading", name="1. Get the next certificate")).to_be_visible()
        expect(page.get_by_role("link", name="Continue")).to_be_visible()
        certificate = fetched(page, tmp_path, "bradawl-next-authority.crt")
        phone.learn(certificate, "next")
        page = first_page(phone, server)
        expect(page.locator("#state")).to_contain_text("and the next certificate too")
        expect(page.locator("#learn")).to_be_hidden()
    over = lifecycle.look_after(data / "keys" / "authority", place, now=standing.takes_over)
    assert standing.next is not None
    assert over.authority.sha256 == standing.next.sha256
    with serving(data) as server:
        assert is_trusted(phone, server)
        page = first_page(phone, server)
        expect(page.locator("#state")).to_contain_text("Now remove the old certificate")
        expect(page.locator("#former")).to_contain_text(standing.authority.name)


def test_after_a_replacement_the_phone_is_led_to_the_new_one_and_away_from_the_old(
    phone: Profile, tmp_path: Path
) -> None:
    data = tmp_path / "data"
    with serving(data) as server:
        phone.learn(server.authority)
        assert is_trusted(phone, server)
    old = lifecycle.read(data / "keys" / "authority")
    assert old is not None
    forked.run(
        "authority", "replace", env={**os.environ, "BRADAWL_DATA": str(data)}
    ).check_returncode()
    with serving(data) as server:
        assert f"Phones that trusted “{old.authority.name}”" in " ".join(server.printed.split())
        assert not is_trusted(phone, server)
        page = first_page(phone, server)
        expect(page.locator("#state")).to_contain_text("doesn't trust")
        expect(page.locator("#former")).to_contain_text(old.authority.name)
        certificate = fetched(page, tmp_path, "bradawl-authority.crt")
        phone.learn(certificate, "new")
        page = first_page(phone, server)
        expect(page.locator("#state")).to_contain_text("This phone trusts the shop.")
        expect(page.locator("#state")).to_contain_text("Now remove the old certificate")
        phone.remove()
        assert is_trusted(phone, server)
