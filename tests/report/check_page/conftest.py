"""The check page as a file, with the shop's key in it, open in a browser without a network."""

from __future__ import annotations

import base64
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page

from bradawl.checklists.bundling import bundle
from bradawl.checklists.loader import load
from bradawl.common import resources
from bradawl.report.checking.names import look_alikes
from bradawl.report.letterhead import Letterhead
from bradawl.report.signing.keys import Signer
from bradawl.serving import build_cache
from bradawl.serving.build_cache import Document
from bradawl.serving.check_page import CheckPage, ShopSigner
from bradawl.serving.judge_files import judge_files
from tests.browsing import launched, opened
from tests.report.full_visit import TODAY

#: What the page's own function says of one file.
Verdict = dict[str, Any]


@pytest.fixture(scope="session")
def judge(tmp_path_factory: pytest.TempPathFactory) -> Document:
    """The judge as the server keeps it, which a report names by its hash."""
    return build_cache.judge(tmp_path_factory.mktemp("prepared"))


@pytest.fixture(scope="session")
def make_page(judge: Document) -> Callable[..., str]:
    """The page's HTML with these signers in it."""
    assert judge.value["files"] == judge_files()
    made = bundle(load(resources.path_of("checklists")))
    checklist = Document.of(made["hash"], made)

    def make(*signers: ShopSigner) -> str:
        letterhead = Letterhead("Hollow Oak Garage", "12 Mill Lane", "555-0100", "oak.example")
        return CheckPage(
            resources.path_of("web"),
            judge,
            checklist=lambda: checklist,
            letterhead=lambda: letterhead,
            signers=lambda: list(signers),
            confusables=look_alikes,
            today=lambda: TODAY,
        ).html()

    return make


@pytest.fixture(scope="session")
def shop_page(
    tmp_path_factory: pytest.TempPathFactory, make_page: Callable[..., str], shop: Signer
) -> Path:
    """The shop's own page in a file."""
    file = tmp_path_factory.mktemp("page") / "check.html"
    file.write_text(make_page(ShopSigner(shop.fingerprint, shop.name, "own")), encoding="utf-8")
    return file


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with launched() as running:
        yield running


@pytest.fixture(scope="module")
def page(browser: Browser, shop_page: Path) -> Iterator[Page]:
    """The page from the disk, in a browser that has no network."""
    context = opened(browser, offline=True, viewport={"width": 390, "height": 844})
    opened_page = context.new_page()
    opened_page.goto(shop_page.as_uri())
    opened_page.wait_for_selector("h1")
    yield opened_page
    context.close()


_BYTES = "const bytes = Uint8Array.from(atob(pdf), letter => letter.charCodeAt(0));"


def check(page: Page, pdf: bytes, typed: str = "") -> Verdict:
    """The page's verdict on these bytes."""
    given = [base64.b64encode(pdf).decode(), typed]
    found: Verdict = page.evaluate(
        f"([pdf, typed]) => {{ {_BYTES} return checkBytes(bytes, typed); }}", given
    )
    return found


def check_flipped(page: Page, pdf: bytes, places: list[tuple[int, int]]) -> list[str]:
    """The page's verdicts on copies of these bytes, a bit of one byte flipped in each."""
    given = [base64.b64encode(pdf).decode(), places]
    found: list[str] = page.evaluate(
        f"""async ([pdf, places]) => {{
            {_BYTES}
            const verdicts = [];
            for (const [at, bit] of places) {{
                const flipped = bytes.slice();
                flipped[at] ^= 1 << bit;
                verdicts.push((await checkBytes(flipped)).verdict);
            }}
            return verdicts;
        }}""",
        given,
    )
    return found
