"""The page itself: its size, its use by everybody, its letterhead, and where it comes from."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient
from playwright.sync_api import Browser, Page, expect

from bradawl.common import settings
from bradawl.report.signing.keys import Signer
from bradawl.serving.app import create_app
from bradawl.serving.check_page import MOST_BYTES, ShopSigner
from bradawl.serving.commands import register
from tests.browsing import AXE, opened, violations
from tests.fresh import furnished


def test_the_page_is_small_enough_to_be_sent_along(shop_page: Path) -> None:
    assert shop_page.stat().st_size <= MOST_BYTES


def test_nothing_in_a_shops_words_ends_its_place(
    make_page: Callable[..., str], browser: Browser, tmp_path: Path
) -> None:
    name = '</script><script>document.title="taken"</script>%%judge%%<!--'
    file = tmp_path / "check.html"
    file.write_text(make_page(ShopSigner("ab" * 32, name, "own")), encoding="utf-8")
    context = opened(browser, offline=True)
    page = context.new_page()
    page.goto(file.as_uri())
    page.get_by_text("Keys that this page knows").click()
    expect(page.get_by_text("%%judge%%")).to_be_visible()
    assert page.title() == "Check a report"
    context.close()


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_everybody_can_use_it(
    browser: Browser, shop_page: Path, condition: Path, theme: Any
) -> None:
    """axe-core, WCAG 2.2 AA, contrast of 7:1 (1.4.6), best practices, before a file and after."""
    size = {"width": 390, "height": 844}
    context = opened(browser, offline=True, viewport=size, color_scheme=theme, bypass_csp=True)
    page = context.new_page()
    page.goto(shop_page.as_uri())
    expect(page.get_by_text("Hollow Oak Garage", exact=True)).to_be_visible()
    page.add_script_tag(path=AXE)
    _clean(page)
    page.set_input_files("#file", condition)
    expect(page.locator('[data-again]:not([data-again="working"])')).to_be_attached()
    _clean(page)
    page.emulate_media(contrast="more")
    assert page.evaluate("getComputedStyle(document.body).color") == "rgb(0, 0, 0)"
    _clean(page)
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    context.close()


def _clean(page: Page) -> None:
    assert [(one["id"], one["nodes"][0]["html"]) for one in violations(page)] == []


def test_a_receipt_is_held_against_the_seal(page: Page, condition: Path) -> None:
    page.set_input_files("#file", condition)
    receipt = page.get_by_label("Receipt kept from the signing")
    expect(page.get_by_text("doesn't protect you against the shop itself")).to_be_visible()
    digest = page.locator("section:has(h3) .digits").inner_text().replace(" ", "")
    receipt.fill(f"BRADAWL SEAL {digest}")
    expect(page.get_by_text("The receipt fits")).to_be_visible()
    receipt.fill(digest[::-1])
    expect(page.get_by_text("The receipt is of another seal")).to_be_visible()


def test_the_shop_hands_it_to_anybody_and_the_letterhead_is_set_at_the_desk(
    tmp_path: Path, shop: Signer
) -> None:
    app = create_app(settings.at(furnished(tmp_path / "data")))
    with TestClient(app, base_url="http://localhost", client=("127.0.0.1", 50_000)) as desk:
        given = {"name": "Hollow Oak Garage", "address": "12 Mill Lane", "web": "oak.example"}
        wrong = desk.post("/desk/letterhead", data={**given, "web": "no address"})
        assert "a web address. Write it like shop.example" in wrong.text
        assert 'value="12 Mill Lane"' in wrong.text  # nothing that was typed is lost
        kept = desk.post("/desk/letterhead", data=given)
        assert kept.status_code == 200
        assert 'value="Hollow Oak Garage"' in kept.text
        answer = desk.get("/check")
        policy = answer.headers["content-security-policy"]
        assert "script-src 'sha256-" in policy
        assert "unsafe-inline" not in policy
        assert "frame-ancestors 'none'" in policy
        assert '"name":"Hollow Oak Garage"' in answer.text
        assert len(answer.content) <= MOST_BYTES
        download = desk.get("/check?download=1")
        assert "attachment" in download.headers["content-disposition"]


def test_the_command_is_there() -> None:
    import argparse

    parser = argparse.ArgumentParser()
    register(parser.add_subparsers())
    assert parser.parse_args(["check-page", "out.html"]).file == Path("out.html")
