"""A list read in by a real browser, with scripts and without; axe finds nothing."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from tests import browsing
from tests.amount import amount
from tests.browsing import AXE, EVERYTHING, LOOKS_ALONE, launched, violations
from tests.desk.conftest import VISIT, Workshop
from tests.desk.served import served

pytestmark = pytest.mark.xdist_group("desk-browser")

LISTS = f"/desk/visits/{VISIT}/parts/lists"
#: Invented; with a title, a near heading, one that nothing is like, and cells that nobody can read.
LIST = """Shopping for the car,,,,
Part,Part #,Qty,Unit price,Vendr,Shelf
Front brake hose,000712,2,$47.83,Harbor Parts,4
Distributor cap,,1,about forty,Yard,
Seal,12-7,some,"1,300.50",,2
"""


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with launched() as running:
        yield running


@pytest.fixture
def address(workshop: Workshop) -> Iterator[str]:
    workshop.begin()
    workshop.write([("about/currency", "USD")])
    with served(workshop, guarded=True) as where:
        yield where


def wrong(page: Page) -> list[Any]:
    """What axe finds at both widths, in both schemes."""
    page.evaluate(AXE.read_text(encoding="utf-8"))
    found = []
    for width, height in ((390, 844), (1366, 768)):
        for scheme in ("light", "dark"):
            page.set_viewport_size({"width": width, "height": height})
            page.emulate_media(color_scheme=scheme)  # type: ignore[arg-type]
            looks = (width, scheme) != (390, "light") and not amount(1, short=0)
            found += [
                (width, scheme, one["id"], one["nodes"][0]["html"][:200])
                for one in violations(page, LOOKS_ALONE if looks else EVERYTHING)
            ]
            assert page.evaluate("document.documentElement.scrollWidth") <= width
    return found


@pytest.mark.parametrize("scripts", [True, False])
def test_a_list_is_looked_at_added_and_undone(
    browser: Browser, address: str, scripts: bool
) -> None:
    context = browsing.opened(browser, java_script_enabled=scripts)
    page = context.new_page()
    page.goto(address + LISTS)
    page.get_by_label("XLSX or CSV file").set_input_files(
        {"name": "list.csv", "mimeType": "text/csv", "buffer": LIST.encode()}
    )
    page.get_by_role("button", name="Look at it").click()
    expect(page.get_by_text("3 lines to add.")).to_be_visible()
    if scripts:
        assert wrong(page) == []
    page.get_by_label("Vendr").select_option("Vendor")
    page.get_by_label("Leave out row 5").check()
    page.get_by_role("button", name="Read it this way").click()
    expect(page.get_by_text("2 lines to add.")).to_be_visible()
    page.get_by_role("button", name="Add 2 lines").click()
    expect(page.get_by_text("2 lines added on")).to_be_visible()
    if scripts:
        assert wrong(page) == []
    page.get_by_role("button", name="Undo: take 2 lines off").click()
    expect(page.get_by_text("Taken off again.")).to_be_visible()
    context.close()
