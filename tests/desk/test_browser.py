"""The desk in a real browser: accessible by axe, usable by keyboard, whole at every width.

Oracle: axe-core (WCAG 2.2 A and AA rules, of AAA the enhanced contrast 1.4.6, and best practices).
"""

from __future__ import annotations

import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from bradawl.common import resources
from bradawl.desk.model.checklists.versions import ChecklistVersions
from bradawl.desk.model.plan.build import plan_of
from bradawl.serving.core import compiled
from tests import browsing
from tests.amount import amount
from tests.browsing import AXE, EVERYTHING, LOOKS_ALONE, launched, place_of, violations
from tests.desk.conftest import OTHER_PHONE, VISIT, Workshop
from tests.desk.plan.test_work_log import a_photo
from tests.desk.served import served

# one browser for all of these
pytestmark = pytest.mark.xdist_group("desk-browser")

CAR = f"/desk/visits/{VISIT}"
PAGES = [
    "/desk/",
    "/desk/board",
    "/desk/money",
    "/desk/estimates?kind=brakes.pads/pads",
    "/desk/compare",
    "/desk/verify",
    "/desk/import",
    "/desk/chains",
    "/desk/checklists",
    "/desk/checklists/ours",
    "/desk/checklists/ours/brakes.yaml",
    f"/desk/checklists/ours/try?visit={VISIT}",
    "/desk/visits/unknown",
    CAR,
    f"{CAR}?standing=open",
    *(
        f"{CAR}/{name}"
        for name in (
            "amend",
            "photos",
            "claims",
            "going",
            "going/paper/calls",
            "leaving",
            "going/paper/load",
            "state",
            "brief",
            "baseline",
            "wires",
            "plan",
            "parts",
            "parts/line/111111111111",
            "parts/lists",
            "tip-over",
            "order",
            "work",
            "money",
            "money/entry?entry=aaaaaaaaaaaa",
            "trouble",
            "trouble/hot-start",
            "exports",
            "history",
        )
    ),
]
MEND = "electrical.pigtails/mend"
PAID = {"kind": "part", "date": "2025-11-20", "what": "Pads, " + "x" * 60, "jobs": [MEND]}
LEDGER: list[tuple[str, Any]] = [
    (f"ledger/{'a' * 12}", PAID | {"amount_cents": 4783, "vendor": "Harbor Parts"}),
    (f"ledger/{'b' * 12}", PAID | {"amount_cents": 5000, "replaces": "a" * 12}),
    (f"ledger/{'c' * 12}", PAID | {"amount_cents": 5100, "replaces": "a" * 12, "paid_by": "Quill"}),
    (f"ledger/{'d' * 12}", {"kind": "labor_mine", "hours": "2.5", "date": "2025-11-21"}),
    (f"ledger/{'e' * 12}", {"replaces": "d" * 12, "withdrawn": True}),
    *((f"ledger/{n:012x}", PAID | {"amount_cents": 100 * n}) for n in range(1, 6)),
    ("brief/budget", 3000),
]
BOUGHT = {"state": "bought", "date": "2025-11-01", "price_cents": 90_000}
SOLD = {"state": "sold", "date": "2025-11-24", "price_cents": 240_000}


def fill(workshop: Workshop) -> None:
    """A sealed visit with everything a page can show, and a second car."""
    photo = workshop.photo(a_photo())
    workshop.begin()
    workshop.write(
        [
            ("items/brakes.pads/grade", {"grade": "dangerous"}),
            ("items/brakes.pads/readings/pad/front-left", {"typed": "0,5", "unit": "mm"}),
            (f"items/brakes.pads/photos/{photo}", {"caption": "Pad", "width": 60, "height": 40}),
            (f"items/brakes.pads/photos/{'e' * 64}", {"caption": "Still on the phone"}),
            ("items/brakes.hoses/grade", {"grade": "uninspected"}),
            ("items/brakes.hoses/why", "no-light"),
            ("items/electrical.pigtails/grade", {"grade": "major"}),
            ("items/electrical.pigtails/note", "Three plugs chewed bare. " + "x" * 90),
            ("items/electrical.pigtails/wires/w1/state", "bare"),
            ("items/electrical.pigtails/wires/w1/gauge", {"typed": "14", "unit": "AWG"}),
            ("items/trim.seats/grade", {"grade": "none"}),
            (
                f"ads/{'8' * 12}",
                {"text": "Runs. " + "x" * 90, "source": "Board", "date": "2025-11-20"},
            ),
            (f"ads/{'8' * 12}/prices/{'9' * 12}", {"amount": 4000, "date": "2025-11-20"}),
            (f"ads/{'8' * 12}/photos/{photo}", {"caption": "", "width": 60, "height": 40}),
            (f"calls/{'6' * 12}", {"role": "seller", "name": "Quill", "date": "2025-11-20"}),
            (f"calls/{'6' * 12}/mice", {"answers": ["yes"], "words": "Two."}),
            ("load/magnet", "left"),
            ("haul/way", "trailer"),
            ("haul/car", {"typed": "3400", "unit": "lb"}),
            (f"lookups/{'6' * 12}/kind", "lien"),
            (f"lookups/{'6' * 12}/result", "bad"),
            (f"lookups/{'6' * 12}/date", "2025-11-20"),
            (f"lookups/{'6' * 12}/photos/{photo}", {"caption": "", "width": 60, "height": 40}),
            ("car/vin", "GT4-71-00912"),
            ("deal/opening", 1900),
            ("deal/leave_by", {"date": "2025-11-25", "time": "18:30"}),
            (f"deal/prices/{'6' * 12}", {"amount": 1900, "date": "2025-11-25", "side": "offered"}),
            (
                f"passed/{'5' * 12}",
                {"date": "2025-11-25", "price": 2600, "why": "Rot", "until": "2026-01-31"},
            ),
            (f"claims/{'7' * 12}/words", "Never wet"),
            (f"claims/{'7' * 12}/who", {"role": "seller", "name": "Quill"}),
            (f"claims/{'7' * 12}/date", "2025-11-20"),
            ("brief/uses", ["everyday", "long_trips"]),
            ("brief/value_good", 6000),
            ("wants/6a1b2c3d4e5f/words", "Tow bar"),
            ("wants/6a1b2c3d4e5f/must", 1),
            ("wants/6a1b2c3d4e5f/so", False),
            ("wants/7a1b2c3d4e5f/figure", {"of": "asking", "above": 900}),
            ("wants/7a1b2c3d4e5f/leave", True),
            ("plan/periods", [{"name": "December", "budget": 250}, {"name": "J", "budget": 9}]),
            (
                "plan/further/electrical.pigtails/harness",
                [{"title": "plugs", "cost": [30, 60, 120], "count": 9, "chance_percent": 30}],
            ),
            (
                "plan/wants/wish-1",
                {"title": "Radio", "parts": [5, 8, 9], "hours": ["1", "1", "2"], "uses": []},
            ),
            ("plan/weekend_hours", "1.5"),
            ("plan/pin/wants/wish-1", 1),
            (
                "plan/left/brakes.pads/pads",
                {"why": "No parts", "back": "When the pads are here", "told": True},
            ),
            ("parts/111111111111/what", "Connector, " + "x" * 90),
            ("parts/111111111111/job", MEND),
            ("parts/222222222222/quote_cents", 4783),
            ("parts/222222222222/what", "Radio"),
            ("parts/222222222222/need", False),
            ("trouble/hot-start/tests/prime", {"outcome": "helps"}),
            *LEDGER,
            ("items/rust.sill/grade", {"grade": "minor"}),
        ]
    )
    bought = workshop.write([("life/state", BOUGHT)])
    workshop.write([("life/state", SOLD)], over={"life/state": bought})
    workshop.write([("items/rust.sill/grade", {"grade": "major"})], device=OTHER_PHONE)
    workshop.seal()
    workshop.write([("items/trim.seats/note", "after the seal")])
    workshop.write(
        [
            (
                "work/trim.seats/own-1/done",
                {"title": "Cleaned", "date": "2026-11-24", "by": "Ada", "items": ["trim.seats"]},
            )
        ]
    )
    workshop.begin("b" * 32)
    guess = {"parts": [20, 40, 90], "hours": ["0.5", "1", "2"]}
    told = {"jobs": ["brakes.pads/pads"], "date": "2025-11-20"}
    workshop.write(
        [
            (f"work/brakes.pads/pads/done/{'a' * 12}", {"guess": guess, "by": "Ada"}),
            (f"ledger/{'a' * 12}", told | {"kind": "part", "amount_cents": 6750}),
            (f"ledger/{'b' * 12}", told | {"kind": "labor_mine", "hours": "1.5"}),
        ],
        visit="b" * 32,
    )


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Workshop]:
    place = Workshop(tmp_path_factory.mktemp("shop"))
    place.checklists = ChecklistVersions(
        resources.path_of("checklists"),
        tmp_path_factory.mktemp("shelf"),
        compiled,
        place.log.put_bundle,
    )
    place.checklists.copy("ours")
    place.checklists.keep("ours", "Ada", "as it came")
    fill(place)
    yield place
    place.log.close()


@pytest.fixture(scope="module")
def address(shop: Workshop) -> Iterator[str]:
    with served(shop) as where:
        yield where


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with launched() as running:
        yield running


def opened(browser: Browser, width: int, scheme: Any = "light") -> Page:
    context = browsing.opened(
        browser, viewport={"width": width, "height": 844}, color_scheme=scheme
    )
    return context.new_page()


#: Every width that the desk is made for; colours do not change with the width.
LOOKS = [
    (390, "light", "no-preference"),
    (768, "dark", "no-preference"),
    (1280, "light", "more"),
    (1920, "dark", "no-preference"),
]


#: In `make test` all rules once, and what colors do on one page in the dark, on the next with more
#: contrast; in `make proof` in every look.
WHOLE = bool(amount(1, short=0))
FULL = (390, 1280) if WHOLE else (390,)

TOO_SMALL = """[...document.querySelectorAll('button, select, input:not([type=hidden]), nav a')]
    .filter((one) => one.getClientRects().length)
    .map((one) => [one.outerHTML.slice(0, 90), one.getBoundingClientRect()])
    .filter(([, box]) => Math.min(box.width, box.height) < 24)
    .map(([html]) => html)"""


@dataclass
class Seen:
    """What is wrong with the pages, each loaded once."""

    by_axe: list[tuple[object, ...]] = field(default_factory=list)
    too_wide: list[tuple[str, int, int]] = field(default_factory=list)
    too_small: list[tuple[str, str]] = field(default_factory=list)


@pytest.fixture(scope="module")
def seen(browser: Browser, address: str) -> Seen:
    page = opened(browser, 390)
    script = AXE.read_text(encoding="utf-8")
    found = Seen()
    for number, path in enumerate(PAGES):
        page.set_viewport_size({"width": 390, "height": 844})
        page.emulate_media(color_scheme="light", contrast="no-preference")
        page.goto(address + path)
        found.too_small += [(path, one) for one in page.evaluate(TOO_SMALL)]
        for width in (390, 768, 1280, 1920):
            page.set_viewport_size({"width": width, "height": 844})
            needed = page.evaluate("document.documentElement.scrollWidth")
            if needed > width:
                found.too_wide.append((path, width, needed))
        # what is folded away is looked at too
        page.evaluate("document.querySelectorAll('details').forEach((one) => { one.open = true })")
        page.evaluate(script)
        for width, scheme, more in LOOKS if WHOLE else (LOOKS[0], LOOKS[1 + number % 2]):
            page.set_viewport_size({"width": width, "height": 844})
            page.emulate_media(color_scheme=scheme, contrast=more)  # type: ignore[arg-type]
            said = violations(page, EVERYTHING if width in FULL else LOOKS_ALONE)
            found.by_axe += [
                (path, width, scheme, more, one["id"], one["nodes"][0]["html"][:160])
                for one in said
            ]
    page.close()
    return found


def test_axe_finds_nothing_at_any_width_in_light_or_dark(seen: Seen) -> None:
    assert seen.by_axe == []


def test_no_page_is_wider_than_its_window(seen: Seen) -> None:
    assert seen.too_wide == []


def test_targets_on_a_phone_are_large_enough(seen: Seen) -> None:
    # 24 CSS px: WCAG 2.2, 2.5.8 (AA), which excepts links within a sentence
    assert seen.too_small == []


def test_a_conflict_is_settled_by_keyboard_alone(
    browser: Browser, address: str, shop: Workshop
) -> None:
    page = opened(browser, 1280)
    page.goto(address + CAR)
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent") == "Skip to content"
    page.keyboard.press("Enter")
    for _ in range(90):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.name") == "why":
            break
    page.keyboard.type("Looked again on the lift")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent") == "Keep this"
    page.keyboard.press("Enter")
    page.locator("#conflicts").wait_for(state="detached")
    expect(page.get_by_text("1 conflict settled")).to_have_count(1)
    assert shop.snapshot(VISIT).cells["items/rust.sill/grade"]["others"] == []
    page.close()


def test_cells_are_walked_by_arrows_and_pasted_from_a_spreadsheet(
    browser: Browser, address: str, shop: Workshop
) -> None:
    page = opened(browser, 1280)
    page.goto(f"{address}{CAR}/plan")
    page.locator(f'[name="{MEND}:parts-low"]').focus()
    page.keyboard.press("ArrowDown")
    assert page.evaluate("document.activeElement.name").endswith("harness:parts-low")
    page.keyboard.press("ArrowUp")
    page.evaluate(
        """() => {
          const data = new DataTransfer();
          data.setData("text/plain", "11\\t22\\t33\\n301\\t401\\t601\\n");
          document.activeElement.dispatchEvent(
            new ClipboardEvent("paste", { clipboardData: data, bubbles: true, cancelable: true }));
        }"""
    )
    with page.expect_navigation():  # once the script has asked the server
        page.keyboard.press("Control+s")
    page.wait_for_function(
        "document.querySelector('.chosen-mark') && document.readyState === 'complete'"
    )
    snapshot = shop.snapshot(VISIT)
    held = plan_of(snapshot).remedies
    assert snapshot.cells[f"plan/remedies/{MEND}"]["value"]["parts"] == [11, 22, 33]
    assert held[MEND].parts == [11, 22, 33]  # a new guess takes the quote back
    assert held["electrical.pigtails/harness"].parts == [301, 401, 601]
    page.close()


def test_faults_of_a_checklist_are_named_while_one_types(browser: Browser, address: str) -> None:
    page = opened(browser, 1280)
    page.goto(f"{address}/desk/checklists/ours/brakes.yaml")
    faults = page.locator(".faults")
    assert "No mistakes" in faults.inner_text()
    page.locator("textarea").press("Control+End")
    page.keyboard.type("\n  - id: brakes.nonsense\n")
    faults.get_by_text("brakes.yaml, line").first.wait_for()
    page.close()


def test_a_printed_page_has_no_buttons_and_keeps_its_findings(
    browser: Browser, address: str
) -> None:
    page = opened(browser, 1280)
    page.goto(address + CAR)
    page.emulate_media(media="print")
    expect(page.locator(".tabs")).to_be_hidden()
    expect(page.locator(".button").first).to_be_hidden()
    expect(page.get_by_text("Pad thickness").first).to_be_visible()
    assert page.pdf().startswith(b"%PDF-")
    page.close()


def test_the_list_is_filled_in_by_itself(browser: Browser, tmp_path: Path) -> None:
    place = Workshop(tmp_path)
    for n in range(30):
        place.begin(f"{n:032x}")
    quick = place.snapshot

    def slow(visit: str) -> Any:
        time.sleep(0.02)
        return quick(visit)

    place.snapshot = slow  # type: ignore[method-assign]
    place.patience_s = 0.1
    with served(place) as where:
        page = opened(browser, 1280)
        page.goto(f"{where}/desk/")
        reading = page.get_by_role("status").get_by_text("still being read")
        expect(reading).to_be_visible()
        reading.wait_for(state="detached")
        expect(page.get_by_role("rowheader").filter(has_text="Testmobil")).to_have_count(30)
        page.close()
    place.log.close()


def test_compare_fills_in_by_itself_and_keeps_what_was_picked(
    browser: Browser, tmp_path: Path
) -> None:
    place = Workshop(tmp_path)
    for n in range(6):
        place.begin(f"{n:032x}")
    free, quick = threading.Event(), place.snapshot

    def held(visit: str) -> Any:
        free.wait(120)
        return quick(visit)

    place.snapshot = held  # type: ignore[method-assign]
    place.patience_s = 0.1
    with served(place) as where:
        page = opened(browser, 1280)
        page.goto(f"{where}/desk/compare")
        heads = page.locator("thead th")
        expect(heads).to_have_count(4)
        expect(heads.filter(has_text="Testmobil")).to_have_count(0)
        page.get_by_role("checkbox").last.check()
        free.set()
        page.get_by_role("status").wait_for(state="detached")
        expect(heads.filter(has_text="Testmobil")).to_have_count(4)
        assert page.get_by_role("checkbox").last.is_checked()
        page.close()
        plain = browser.new_context(java_script_enabled=False).new_page()
        plain.goto(f"{where}/desk/compare")
        assert plain.locator("thead th").count() == 4
        plain.context.close()
    place.log.close()


def test_a_photo_opens_over_its_page_with_next_and_side_by_side(
    browser: Browser, tmp_path: Path
) -> None:
    place = Workshop(tmp_path)
    place.begin()
    for n in range(3):
        photo = place.photo(a_photo(n))
        place.write([(f"items/trim.seats/photos/{photo}", {"caption": f"Seat {n}"})])
    place.write([("items/trim.seats/grade", {"grade": "minor"})])
    with served(place) as where:
        page = opened(browser, 1280)
        page.goto(f"{where}{CAR}/photos")
        page.get_by_role("link", name="Seat").first.press("Enter")
        viewer = page.get_by_role("dialog")
        expect(viewer.get_by_text("Photo 1 of 3")).to_be_visible()
        viewer.get_by_role("button", name="Next").click()
        expect(viewer.get_by_text("Photo 2 of 3")).to_be_visible()
        page.keyboard.press("ArrowLeft")
        expect(viewer.get_by_text("Photo 1 of 3")).to_be_visible()
        viewer.get_by_role("button", name="Side by side").click()
        expect(viewer.locator("img")).to_have_count(2)
        viewer.get_by_role("button", name="Larger").click()
        wide = place_of(viewer.locator("img").first)
        assert wide["width"] >= 2 * 1280
        page.evaluate(AXE.read_text(encoding="utf-8"))
        assert violations(page) == []
        page.keyboard.press("Escape")
        expect(viewer).to_be_hidden()
        expect(page).to_have_url(f"{where}{CAR}/photos")
        page.close()
    place.log.close()
