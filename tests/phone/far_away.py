"""A phone far from its server, which is dead: how its screens are looked at, what it recorded."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, Page

from tests.browsing import AXE, violations
from tests.phone.phone import Phone
from tests.phone.server import Server

PICTURES = os.environ.get("BRADAWL_PICTURES")


@contextmanager
def far_away(
    browser: Browser,
    data: Path,
    *,
    region: str = "us",
    near: Callable[[Phone], None] = lambda _phone: None,
) -> Iterator[Phone]:
    """A phone that was paired, did what is done `near` the server, and was opened anew far away."""
    server = Server(data)
    server.start()
    phone = Phone(browser, server.origin, region=region)
    phone.open()
    phone.wait_for_sync("server")
    near(phone)
    phone.wait_for_worker()
    server.kill()
    phone.reopen()
    yield phone
    phone.throw_away()


def look(page: Page, walk: str, name: str) -> None:
    """Axe finds nothing in light and dark; a picture of each where they are wanted."""
    page.evaluate(AXE.read_text())
    for theme in ("light", "dark"):
        page.evaluate("(theme) => { document.documentElement.dataset.theme = theme }", theme)
        assert not violations(page), name
        if PICTURES:
            folder = Path("build/phone") / walk
            folder.mkdir(parents=True, exist_ok=True)
            page.screenshot(path=folder / f"{name}-{theme}.png", full_page=True)
    page.evaluate("() => { document.documentElement.dataset.theme = 'auto' }")


def standing(phone: Phone, start: str) -> dict[str, Any]:
    """What stands below a path of the records on this phone, by path."""
    last = {event["put"]: event["value"] for event in phone.events()}
    return {
        put: value for put, value in last.items() if put.startswith(start) and value is not None
    }
