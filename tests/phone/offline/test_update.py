"""A new version waits, leaves the running one whole, and is taken only at a safe point."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, expect

from bradawl.common import resources
from tests.phone.phone import Phone
from tests.phone.server import Server


@pytest.fixture
def web(tmp_path: Path) -> Path:
    """A copy of the built app, which a test may replace by its next version."""
    return Path(shutil.copytree(resources.path_of("web"), tmp_path / "web"))


@pytest.fixture
def server(tmp_path: Path, web: Path) -> Iterator[Server]:
    server = Server(tmp_path / "data", web=web)
    server.start()
    yield server
    server.kill()


def release(web: Path, name: str) -> None:
    """The next version: another name for its script, another worker; the old files are gone."""
    page = web / "index.html"
    script = re.search(r"assets/(index-[\w-]+\.js)", page.read_text())
    assert script is not None
    assets = web / "assets"
    # parts that are loaded later name the script that loads them: they, too, get other names
    renamed = {script[1]: f"index-{name}.js"}
    parts = {part.name: part.read_text() for part in assets.glob("*.js")}
    while more := {
        part: f"{part.removesuffix('.js')}-{name}.js"
        for part, text in parts.items()
        if part not in renamed and any(old in text for old in renamed)
    }:
        renamed |= more
    for old, new in renamed.items():
        (assets / old).unlink()
        (assets / new).write_text(_with_names(parts[old], renamed))
    for packed in (".br", ".gz"):
        for file in ("index.html", "sw.js", *(f"assets/{old}" for old in renamed)):
            (web / (file + packed)).unlink(missing_ok=True)
    text = _with_names(page.read_text(), renamed)
    page.write_text(text.replace("<head>", f"<head><meta name={name}>"))
    worker = web / "sw.js"
    changed = _with_names(worker.read_text(), renamed)
    worker.write_text(re.sub(r"bradawl-app-\w+", f"bradawl-app-{name}", changed))
    assert name in worker.read_text()


def _with_names(text: str, renamed: dict[str, str]) -> str:
    for old, new in renamed.items():
        text = text.replace(old, new)
    return text


def wait_until_none_waits(phone: Phone) -> None:
    """With the app closed: the browser lets the new version take over once the old has no work."""
    versions: dict[str, str] = {}

    def heard(event: dict[str, Any]) -> None:
        versions.update({one["versionId"]: one["status"] for one in event["versions"]})

    devtools = phone.context.new_cdp_session(phone.page)
    devtools.on("ServiceWorker.workerVersionUpdated", heard)
    devtools.send("ServiceWorker.enable")
    phone.wait_until(lambda: "activated" in versions.values())
    phone.wait_until(lambda: not {"installed", "activating"} & set(versions.values()))
    devtools.detach()


def test_a_new_version_in_mid_visit_waits_and_the_old_one_stays_whole(
    browser: Browser, server: Server, web: Path
) -> None:
    phone = Phone(browser, server.origin)
    phone.open()
    phone.wait_for_sync("server")
    phone.wait_for_worker()
    phone.begin(make="Tarn")
    card = phone.card("rust.arches")
    phone.page.evaluate("window.sameLife = true")

    release(web, "second")
    phone.page.evaluate("navigator.serviceWorker.ready.then((one) => one.update()).then(() => 1)")
    phone.wait_until(
        lambda: phone.page.evaluate(
            "navigator.serviceWorker.ready.then((one) => one.waiting !== null)"
        )
    )
    # no reload under the person's hands, and nothing of the old version is missing
    card.get_by_role("button", name="Rusted through", exact=True).tap()
    expect(card).to_have_attribute("data-grade", "major")
    assert phone.page.evaluate("window.sameLife")
    server.kill()
    phone.page.reload()
    expect(phone.page.locator('[data-item="rust.arches"]')).to_have_attribute("data-grade", "major")
    expect(phone.page.locator("meta[name=second]")).to_have_count(0)

    # on the list of cars it is offered, and taken by a tap: at once, whatever the old one waits for
    server.start()
    server.freeze()
    phone.page.reload()
    expect(card).to_have_attribute("data-grade", "major")
    phone.page.goto(f"{server.origin}/app/#/")
    offer = phone.page.get_by_text("A new version of Bradawl is ready.")
    expect(offer).to_be_visible()
    phone.wait_until_still()  # the list that is being read would move it from under the thumb
    phone.page.get_by_role("button", name="Update now").tap()
    expect(phone.page.locator("meta[name=second]")).to_have_count(1)
    server.kill()
    phone.reopen()
    expect(phone.page.locator("meta[name=second]")).to_have_count(1)
    assert any(event["put"] == "items/rust.arches/choice" for event in phone.events())
    phone.throw_away()


def test_a_new_version_comes_by_itself_when_the_app_is_started_anew(
    browser: Browser, server: Server, web: Path
) -> None:
    phone = Phone(browser, server.origin)
    phone.open()
    phone.wait_for_sync("server")
    phone.wait_for_worker()
    phone.begin(make="Tarn")
    release(web, "third")
    phone.page.evaluate("navigator.serviceWorker.ready.then((one) => one.update()).then(() => 1)")
    phone.wait_until(
        lambda: phone.page.evaluate(
            "navigator.serviceWorker.ready.then((one) => one.waiting !== null)"
        )
    )
    server.kill()
    phone.close()
    wait_until_none_waits(phone)
    phone.open()
    expect(phone.page.locator("meta[name=third]")).to_have_count(1)
    expect(phone.page.get_by_label("Make")).to_have_value("Tarn")
    phone.throw_away()
