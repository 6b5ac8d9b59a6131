"""The parts sheet in a real browser: a grid as ARIA has it, and nothing typed is lost.

Keys are those of the W3C's grid pattern (ARIA Authoring Practices Guide, "Data Grids"), and the
ones that spreadsheets have in common (common practice, no source).
"""

from __future__ import annotations

import io
import json
from collections.abc import Iterator
from typing import Any

import pikepdf
import pytest
from playwright.sync_api import Browser, Page, Route, expect

from tests import browsing
from tests.amount import amount
from tests.browsing import AXE, EVERYTHING, LOOKS_ALONE, launched, place_of, violations
from tests.desk.conftest import DESK, VISIT, Workshop
from tests.desk.served import served

pytestmark = pytest.mark.xdist_group("desk-browser")

PARTS = f"/desk/visits/{VISIT}/parts"
MEND = "electrical.pigtails/mend"
HOSE, CAP, RADIO = "a" * 12, "c" * 12, "d" * 12


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with launched() as running:
        yield running


@pytest.fixture
def shop(workshop: Workshop) -> Workshop:
    workshop.begin()
    workshop.write(
        [
            ("about/currency", "USD"),
            ("items/electrical.pigtails/grade", {"grade": "major"}),
            ("items/brakes.pads/grade", {"grade": "dangerous"}),
            (f"parts/{HOSE}/what", "Front brake hose"),
            (f"parts/{HOSE}/job", MEND),
            (f"parts/{HOSE}/quote_cents", 4783),
            (f"parts/{CAP}/what", "Distributor cap"),
            (f"parts/{CAP}/job", MEND),
            (f"parts/{CAP}/vendor", "Yard"),
            (f"parts/{RADIO}/what", "Radio"),
        ]
    )
    return workshop


@pytest.fixture
def address(shop: Workshop) -> Iterator[str]:
    with served(shop, guarded=True) as where:
        yield where


@pytest.fixture
def page(browser: Browser, address: str) -> Iterator[Page]:
    context = browsing.opened(browser, viewport={"width": 1366, "height": 768}, locale="en-US")
    one = context.new_page()
    one.goto(address + PARTS)
    expect(one.get_by_role("grid")).to_be_visible()
    yield one
    context.close()


def cell(page: Page, line: str, column: str) -> Any:
    """A cell of the grid by its line's id and its column's key."""
    row = f"parts/{line}" if len(line) == 12 else line
    n = page.evaluate(
        "key => [...document.querySelectorAll('.parts thead th')]"
        ".findIndex((one) => one.dataset.key === key)",
        column,
    )
    return page.locator(f'tr[data-row="{row}"] > *').nth(n)


def held(shop: Workshop, path: str) -> Any:
    found = shop.snapshot(VISIT).cells.get(f"parts/{path}")
    return found["value"] if found else None


def saved(page: Page) -> None:
    expect(page.locator(".parts-said")).to_have_text("All changes saved")


def paste(page: Page, text: str) -> None:
    page.evaluate(
        """(text) => {
          const data = new DataTransfer();
          data.setData("text/plain", text);
          document.activeElement.dispatchEvent(
            new ClipboardEvent("paste", { clipboardData: data, bubbles: true, cancelable: true }));
        }""",
        text,
    )


def test_keys_walk_the_grid_and_open_one_editor(page: Page, shop: Workshop) -> None:
    expect(page.locator('.parts [tabindex="0"]')).to_have_count(1)
    cell(page, HOSE, "what").click()
    page.keyboard.press("ArrowRight")
    expect(cell(page, HOSE, "need")).to_be_focused()
    page.keyboard.press("ArrowDown")
    expect(cell(page, CAP, "need")).to_be_focused()
    page.keyboard.press("Home")
    expect(cell(page, CAP, "what")).to_be_focused()
    page.keyboard.press("End")
    expect(cell(page, CAP, "due_on")).to_be_focused()
    cell(page, CAP, "quantity").click()
    page.keyboard.type("3")  # typing opens the editor
    expect(page.locator(".parts tbody input:not([type])")).to_have_count(1)
    page.keyboard.press("Escape")
    expect(cell(page, CAP, "quantity")).to_be_focused()
    expect(cell(page, CAP, "quantity")).to_have_text("")
    page.keyboard.type("2")
    page.keyboard.press("Tab")
    expect(cell(page, CAP, "price")).to_be_focused()
    page.keyboard.press("F2")
    page.keyboard.type("40-60")
    page.keyboard.press("Enter")
    saved(page)
    expect(cell(page, CAP, "price")).to_have_text("$40–$60")
    expect(cell(page, CAP, "total")).to_have_text("about $100")  # 2 x 50
    assert held(shop, f"{CAP}/quantity") == "2"
    assert held(shop, f"{CAP}/high_cents") == 6000
    # Tab leaves the grid, as there is one tab stop
    page.keyboard.press("Shift+Tab")
    assert page.evaluate("!document.activeElement.closest('.parts')")


def test_a_choice_is_picked_by_its_first_letter(page: Page, shop: Workshop) -> None:
    cell(page, CAP, "state").click()
    page.keyboard.type("o")
    page.keyboard.press("Enter")
    saved(page)
    expect(cell(page, CAP, "state")).to_have_text("Ordered")
    assert held(shop, f"{CAP}/state") == "ordered"


def test_rows_pasted_from_a_spreadsheet_are_one_step_to_undo(page: Page, shop: Workshop) -> None:
    cell(page, HOSE, "what").click()
    paste(page, 'Hose, left\t\t\t1\r\nHose, right\t\t\t1\r\n"Clip, 3/8"""\t\t\t12\r\n')
    saved(page)
    rows = page.locator("tr[data-row^='parts/']")
    expect(rows).to_have_count(4)  # the third was appended to the same job
    lines = [cells for cells in shop.snapshot(VISIT).cells if cells.endswith("/what")]
    assert sorted(str(held(shop, path.removeprefix("parts/"))) for path in lines) == [
        'Clip, 3/8"', "Hose, left", "Hose, right", "Radio",
    ]  # fmt: skip
    new = next(path.split("/")[1] for path in lines if held(shop, path[6:]) == 'Clip, 3/8"')
    assert held(shop, f"{new}/job") == MEND
    assert held(shop, f"{new}/quantity") == "12"
    page.keyboard.press("Control+z")
    saved(page)
    assert held(shop, f"{HOSE}/what") == "Front brake hose"
    assert held(shop, f"{CAP}/what") == "Distributor cap"
    assert held(shop, f"{new}/what") is None
    page.keyboard.press("Control+y")
    saved(page)
    assert held(shop, f"{HOSE}/what") == "Hose, left"
    assert held(shop, f"{new}/what") == 'Clip, 3/8"'


def test_what_is_copied_is_what_a_spreadsheet_reads(page: Page) -> None:
    cell(page, HOSE, "what").click()
    page.keyboard.press("Shift+ArrowDown")
    page.keyboard.press("Shift+ArrowRight")
    expect(page.locator("[aria-selected=true]")).to_have_count(4)
    text = page.evaluate(
        """() => {
          const data = new DataTransfer();
          document.activeElement.dispatchEvent(
            new ClipboardEvent("copy", { clipboardData: data, bubbles: true, cancelable: true }));
          return data.getData("text/plain");
        }"""
    )
    assert text == "Front brake hose\tNeeded\nDistributor cap\tNeeded"


def test_what_cannot_be_read_stays_in_its_cell_with_a_sentence(page: Page, shop: Workshop) -> None:
    cell(page, CAP, "price").click()
    page.keyboard.type("cheap")
    page.keyboard.press("Enter")
    expect(cell(page, CAP, "price")).to_contain_text("“cheap” isn't an amount")
    expect(cell(page, CAP, "price")).to_have_attribute("aria-invalid", "true")
    expect(page.locator(".parts-said")).to_have_text("Unsaved changes: 1")
    cell(page, CAP, "price").click()
    page.keyboard.press("Enter")
    assert page.locator(".parts tbody input:not([type])").input_value() == "cheap"
    page.keyboard.type("47.83")
    page.keyboard.press("Enter")
    saved(page)
    assert held(shop, f"{CAP}/quote_cents") == 4783


@pytest.mark.parametrize("mine", [True, False])
def test_a_conflict_is_shown_in_its_cell(page: Page, shop: Workshop, mine: bool) -> None:
    shop.log.append(DESK, VISIT, [(f"parts/{HOSE}/quote_cents", 5200)])
    cell(page, HOSE, "price").click()
    page.keyboard.type("48")
    page.keyboard.press("Enter")
    price = cell(page, HOSE, "price")
    expect(price).to_contain_text("Yours: 48")
    expect(price).to_contain_text("Theirs: $52")
    assert held(shop, f"{HOSE}/quote_cents") == 5200
    price.get_by_role("button", name="Keep mine" if mine else "Take theirs").click()
    saved(page)
    expect(price).to_have_text("$48" if mine else "$52")
    assert held(shop, f"{HOSE}/quote_cents") == (4800 if mine else 5200)


def test_another_tabs_changes_appear(page: Page, shop: Workshop) -> None:
    second = page.context.new_page()
    second.goto(page.url)
    cell(second, CAP, "number").click()
    second.keyboard.type("DC-77")
    second.keyboard.press("Enter")
    saved(second)
    second.get_by_role("button", name="Add a line").click()
    second.keyboard.type("Rotor")
    second.keyboard.press("Enter")
    saved(second)
    page.bring_to_front()
    expect(cell(page, CAP, "number")).to_have_text("DC-77")
    expect(page.get_by_role("rowheader", name="Rotor")).to_be_visible()


def test_without_a_connection_changes_are_kept_and_sent_later(page: Page, shop: Workshop) -> None:
    page.context.set_offline(True)
    cell(page, CAP, "vendor").click()
    page.keyboard.type("Corner Parts")
    page.keyboard.press("Enter")
    expect(page.locator(".parts-said")).to_contain_text("No connection. Unsaved changes: 1.")
    # a new line, too; and the tab may close: they wait in the browser
    page.get_by_role("button", name="Add a line").click()
    page.keyboard.type("Rotor")
    page.keyboard.press("Enter")
    url = page.url
    expect(page.locator(".parts-said")).to_contain_text("Unsaved changes: 2.")
    page.close()
    page.context.set_offline(False)
    again = page.context.new_page()
    again.goto(url)
    saved(again)
    expect(cell(again, CAP, "vendor")).to_have_text("Corner Parts")
    expect(again.get_by_role("rowheader", name="Rotor")).to_be_visible()
    assert held(shop, f"{CAP}/vendor") == "Corner Parts"


def test_a_session_that_ended_offers_sign_in_and_keeps_what_was_typed(
    page: Page, shop: Workshop
) -> None:
    def signed_out(route: Route) -> None:
        body = {"error": {"code": "sign_in", "message": "Sign in at the desk first."}}
        route.fulfill(status=401, content_type="application/json", body=json.dumps(body))

    page.route("**/parts/changes", signed_out)
    cell(page, CAP, "vendor").click()
    page.keyboard.type("Corner Parts")
    page.keyboard.press("Enter")
    link = page.get_by_role("alert").get_by_role("link", name="Sign in")
    expect(link).to_have_attribute("href", f"/desk/sign-in?next={PARTS.replace('/', '%2F')}")
    expect(page.get_by_role("alert")).to_contain_text("Unsaved changes: 1.")
    asked = []
    page.on("dialog", lambda dialog: (asked.append(dialog.type), dialog.accept()))
    link.click()
    page.wait_for_url("**/desk/sign-in**")
    assert asked == []  # whoever goes to sign in is not asked
    page.unroute("**/parts/changes")
    page.go_back()
    saved(page)
    assert held(shop, f"{CAP}/vendor") == "Corner Parts"


def test_leaving_with_unsaved_changes_asks(page: Page) -> None:
    page.route("**/parts/changes", lambda route: route.abort())
    cell(page, CAP, "vendor").click()
    page.keyboard.type("Corner Parts")
    page.keyboard.press("Enter")
    expect(page.locator(".parts-said")).to_contain_text("No connection")
    asked = []
    page.on("dialog", lambda dialog: (asked.append(dialog.type), dialog.accept()))
    page.goto(page.url.rpartition("/")[0] + "/plan")
    assert asked == ["beforeunload"]


def test_search_filter_order_columns_and_bulk(page: Page, shop: Workshop) -> None:
    page.get_by_label("Search").fill("yard cap")
    expect(page.locator("tr[data-row^='parts/']:visible")).to_have_count(1)
    expect(page.locator(".parts-count")).to_have_text("1 of 3 lines shown")
    page.get_by_label("Search").fill("")
    page.get_by_role("columnheader", name="Part or work").get_by_role("button").click()
    names = page.locator("tr[data-row^='parts/']:visible th")
    expect(names).to_have_text(["Distributor cap", "Front brake hose", "Radio"])
    expect(page.locator("tr.of-job:visible")).to_have_count(0)
    page.get_by_role("columnheader", name="Part or work").get_by_role("button").click()
    expect(names).to_have_text(["Radio", "Front brake hose", "Distributor cap"])
    page.get_by_text("Filter, sort, columns").click()
    page.get_by_role("checkbox", name="Core charge").check()
    page.get_by_role("checkbox", name="Vendor", exact=True).uncheck()
    expect(cell(page, CAP, "core")).to_be_visible()
    expect(cell(page, CAP, "vendor")).not_to_be_visible()
    page.reload()
    expect(cell(page, CAP, "core")).to_be_visible()
    expect(cell(page, CAP, "vendor")).not_to_be_visible()
    for line in (HOSE, CAP):
        page.locator(f'tr[data-row="parts/{line}"] input[type=checkbox]').check()
    page.get_by_role("group", name="Change the picked lines").get_by_label(
        "New value"
    ).select_option("Arrived")
    page.get_by_role("button", name="Apply to all").click()
    saved(page)
    assert [held(shop, f"{line}/state") for line in (HOSE, CAP, RADIO)] == [
        "arrived", "arrived", None,
    ]  # fmt: skip
    page.get_by_role("button", name="Undo").click()
    saved(page)
    assert [held(shop, f"{line}/state") for line in (HOSE, CAP)] == ["needed", "needed"]


def test_what_a_line_is_stays_in_sight_when_the_sheet_is_pushed_sideways(page: Page) -> None:
    page.set_viewport_size({"width": 1000, "height": 700})
    what = cell(page, HOSE, "what")
    pane = page.locator(".parts-scroll")
    what.scroll_into_view_if_needed()
    edge = place_of(pane)
    for left in (300, 0):
        pane.evaluate("(one, left) => { one.scrollLeft = left; }", left)
        page.wait_for_function(
            """([line, x]) => Math.abs(document.querySelector(`#line-${line} > th`)
              .getBoundingClientRect().x - x) < 70""",
            arg=[HOSE, edge["x"]],
        )
        expect(what).to_be_in_viewport()
        seen = page.evaluate(
            """(line) => { const box = document.querySelector(`#line-${line} > th`)
              .getBoundingClientRect();
              return document.elementFromPoint(box.x + 20, box.y + 10).textContent; }""",
            HOSE,
        )
        assert seen == "Front brake hose"


def test_a_job_has_a_button_for_a_line_of_its_own(page: Page, shop: Workshop) -> None:
    page.get_by_role("link", name="Add a line to New plug and crimps").click()
    page.keyboard.type("Crimp")
    page.keyboard.press("Enter")
    saved(page)
    cells = shop.snapshot(VISIT).cells
    line = next(path.split("/")[1] for path in cells if cells[path]["value"] == "Crimp")
    assert held(shop, f"{line}/job") == MEND


LOOKS = [(390, "light"), (390, "dark"), (1366, "light"), (1366, "dark")]


def test_axe_finds_nothing_in_cells_that_are_wrong_or_in_conflict(
    page: Page, shop: Workshop
) -> None:
    shop.log.append(DESK, VISIT, [(f"parts/{HOSE}/quote_cents", 5200)])
    for line, typed in ((HOSE, "48"), (CAP, "cheap")):
        cell(page, line, "price").click()
        page.keyboard.type(typed)
        page.keyboard.press("Enter")
    expect(cell(page, HOSE, "price")).to_contain_text("Theirs:")
    expect(cell(page, CAP, "price")).to_contain_text("isn't an amount")
    page.locator(f'tr[data-row="parts/{RADIO}"] input[type=checkbox]').check()
    page.evaluate("document.querySelectorAll('details').forEach((one) => { one.open = true })")
    page.evaluate(AXE.read_text(encoding="utf-8"))
    wrong = []
    for width, scheme in LOOKS:
        page.set_viewport_size({"width": width, "height": 844})
        page.emulate_media(color_scheme=scheme)  # type: ignore[arg-type]
        looks = (width, scheme) != LOOKS[0] and not amount(1, short=0)
        wrong += [
            (width, scheme, one["id"], one["nodes"][0]["html"][:200])
            for one in violations(page, LOOKS_ALONE if looks else EVERYTHING)
        ]
        assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert wrong == []


def test_every_line_is_in_the_accessibility_tree(page: Page) -> None:
    tree = page.get_by_role("grid").aria_snapshot()
    for name in ("Front brake hose", "Distributor cap", "Radio"):
        assert f'rowheader "{name}"' in tree
    assert 'columnheader "Price each"' in tree
    assert 'gridcell "$47.83"' in tree


def test_it_prints_every_line_on_letter_across(page: Page, shop: Workshop) -> None:
    # US Letter: 11 x 8.5 in (ANSI/ASME Y14.1, size A), 792 x 612 pt
    puts = [(f"parts/{n:012x}/what", f"Part {n}") for n in range(80)]
    shop.log.append(DESK, VISIT, puts)
    page.reload()
    page.get_by_text("Filter, sort, columns").click()
    for box in page.locator("[data-column]").all():
        box.check()
    data = page.pdf(prefer_css_page_size=True)
    with pikepdf.open(io.BytesIO(data)) as file:
        assert {tuple(map(float, one.mediabox)) for one in file.pages} == {(0, 0, 792, 612)}
    page.emulate_media(media="print")
    expect(page.locator("tr[data-row^='parts/']:visible")).to_have_count(83)
    page.set_viewport_size({"width": 980, "height": 740})  # 10.2 in between the margins
    assert page.evaluate("document.documentElement.scrollWidth") <= 980


def test_without_scripts_it_is_a_table_with_a_link_for_each_line(
    browser: Browser, address: str
) -> None:
    context = browsing.opened(
        browser, java_script_enabled=False, viewport={"width": 390, "height": 844}
    )
    page = context.new_page()
    page.goto(address + PARTS)
    hose = page.get_by_role("row", name="Front brake hose")
    expect(hose.get_by_text("$47.83").first).to_be_visible()
    hose.get_by_role("link", name="Edit").click()
    page.get_by_label("Price each").fill("52")
    page.get_by_role("button", name="Save").click()
    expect(hose.get_by_text("$52").first).to_be_visible()
    context.close()
