"""Every screen for everybody: axe finds nothing (contrast 7:1 included), nothing runs off the side.

Rules: WCAG 2.2 A and AA by axe-core, and of AAA the enhanced contrast (1.4.6); sizes of targets as
the house sets them, 56 px for answers and 48 px for all else.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator
from pathlib import Path
from urllib.parse import quote

import pytest
from playwright.sync_api import Browser, Page, expect

from tests import browsing
from tests.amount import amount
from tests.browsing import EVERYTHING, LOOKS_AND_TARGETS, PICTURES
from tests.phone.capture.test_photos_and_notes import opened as captured
from tests.phone.capture.test_photos_and_notes import shoot
from tests.phone.phone import NO_ROOM, Phone, picture
from tests.phone.server import Server

AXE = (Path(__file__).parents[3] / "web/node_modules/axe-core/axe.min.js").read_text()
SHOTS = Path(__file__).parents[3] / "build" / "phone"
TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
SCREENS = ["", "start", "stage/outside", "area/brakes", "map", "kerb", "facts", "seal"]
SCREENS += ["trouble", "trouble/rest-pressure", "own", "own/brakes"]
SCREENS += ["find", "find/-/hose%20brke", "sort"]
THEMES = ["light", "dark", "outdoor"]


@pytest.fixture(scope="module")
def shown(browser: Browser, standing_server: Server) -> Iterator[Phone]:
    """A phone with a visit in which something was found, photographed and measured."""
    phone = Phone(browser, standing_server.origin)
    phone.open()
    phone.wait_for_sync("server")
    phone.begin(make="Tarn", model="Nine")
    card = phone.card("rust.arches")
    card.get_by_role("button", name="Rusted through", exact=True).tap()
    phone.add_photo(card, picture(1))
    expect(card.locator(".photo img")).to_have_count(1)
    sheet = captured(phone)
    shoot(sheet, picture(2))
    expect(sheet.locator('[data-kept="1"]')).to_have_count(1)
    sheet.get_by_role("button", name="Note", exact=True).tap()
    sheet.get_by_label("Note").fill("Second key")
    sheet.get_by_role("button", name="Save the note").tap()
    sheet.get_by_role("button", name="Close", exact=True).tap()
    card = phone.card("brakes.front-pads")
    card.get_by_role("textbox").first.fill("2,5")
    expect(card).not_to_have_attribute("data-grade", "open")
    phone.go("map")
    phone.page.locator('[data-panel="bonnet"]').click()
    for field, film in zip(
        phone.page.locator(".sheet .reading input").all()[:3], "345", strict=True
    ):
        field.fill(f"{film}00")
    phone.page.locator(".sheet").get_by_role("button", name="Dent").tap()
    expect(phone.status()).to_contain_text("Dent")
    yield phone
    phone.throw_away()


def violations(page: Page, *, looks_alone: bool = False) -> list[str]:
    # what the bars at top and foot cover now is free after a scroll: measure targets without them
    page.evaluate(
        "document.querySelectorAll('.top, .foot').forEach((bar) => (bar.style.position = 'static'))"
    )
    if not page.evaluate("'axe' in window"):
        page.evaluate(AXE)
    options = LOOKS_AND_TARGETS if looks_alone else {**EVERYTHING, "runOnly": TAGS}
    found = browsing.violations(page, options)
    return [
        f"{problem['id']}: {node['html'][:160]} {node['failureSummary'][:200]}"
        for problem in found
        for node in problem["nodes"]
    ]


def sideways(page: Page) -> bool:
    overflow: bool = page.evaluate(
        "document.documentElement.scrollWidth > document.documentElement.clientWidth + 1"
    )
    return overflow


def too_small(page: Page) -> list[str]:
    """Targets under their house size. A link within running text is exempt (WCAG 2.5.8)."""
    found: list[str] = page.evaluate(
        """() => [...document.querySelectorAll("button, a, input[type=text], textarea, summary")]
          .filter((target) => target.matches("button") || target.closest("p, dd") === null)
          .map((target) => [target, target.getBoundingClientRect()])
          .filter(([, box]) => box.width > 0)
          .filter(([target, box]) => {
            const least = target.matches(".answers .choice, .main") ? 56 : 43.9;
            return box.height < least || box.width < 43.9;
          })
          .map(([target, box]) => `${target.outerHTML.slice(0, 100)} ${box.width}x${box.height}`)"""
    )
    return found


def goto(phone: Phone, screen: str, theme: str) -> Page:
    page = phone.page
    if screen in ("cars", "storage", "pair", "guide", "away"):
        page.goto(f"{phone.origin}/app/#/{'' if screen == 'cars' else screen}")
    else:
        phone.go(screen)
    page.evaluate(f"document.documentElement.dataset.theme = '{theme}'")
    phone.wait_until_still()
    return page


PAINTED = """() => new Promise((resolve) =>
  requestAnimationFrame(() => requestAnimationFrame(resolve)))"""
#: What 200 % text adds to a size: the same screen, its root font twice as large (WCAG 1.4.4).
SIZES = [(390, "100%"), (1280, "100%"), (390, "200%"), (1280, "200%")]
#: Where least room is; in `make proof` all of them.
NARROW = SIZES if amount(1, short=0) else SIZES[::2]


def look_over(
    page: Page, name: str, theme: str, sizes: list[tuple[int, str]]
) -> dict[str, list[str]]:
    """What is wrong at each size: axe's violations, and running off the side."""
    found: dict[str, list[str]] = {}
    SHOTS.mkdir(parents=True, exist_ok=True)
    page.evaluate(f"document.documentElement.dataset.theme = '{theme}'")
    for width, text in sizes:
        page.set_viewport_size({"width": width, "height": 844})
        page.evaluate(f"document.documentElement.style.fontSize = '{text}'")
        page.evaluate(PAINTED)
        problems = violations(page, looks_alone=theme != "light" or text != "100%")
        if sideways(page):
            problems.append("it runs off the side")
        if problems:
            found[f"{width} px, text at {text}"] = problems
        if problems or (PICTURES and (width, text) == SIZES[0]):
            page.screenshot(path=SHOTS / f"{name}-{theme}-{width}-{text.rstrip('%')}.png")
    page.evaluate("document.documentElement.style.fontSize = ''")
    page.set_viewport_size({"width": 390, "height": 844})
    return found


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize("screen", ["cars", "storage", "pair", "guide", "away", *SCREENS])
def test_axe_finds_nothing(shown: Phone, screen: str, theme: str) -> None:
    page = goto(shown, screen, theme)
    # layout is the same in every theme: one of them is looked at in the rarer sizes, too
    sizes = SIZES[: amount(4, short=3)] if theme == "light" else SIZES[: amount(3, short=1)]
    assert look_over(page, screen.replace("/", "-") or "walk", theme, sizes) == {}


@pytest.mark.parametrize("screen", ["cars", "storage", *SCREENS])
def test_targets_are_large_enough_for_a_thumb(shown: Phone, screen: str) -> None:
    shown.page.set_viewport_size({"width": 390, "height": 844})
    assert too_small(goto(shown, screen, "light")) == []


def opened_photo(shown: Phone) -> None:
    card = shown.card("rust.arches")
    card.get_by_role("button", name=re.compile("^Note, photo")).tap()
    card.locator(".photo").first.tap()
    expect(card.get_by_role("button", name="Draw on it")).to_be_visible()


def drawing_on_a_photo(shown: Phone) -> None:
    opened_photo(shown)
    shown.page.get_by_role("button", name="Draw on it").tap()
    expect(shown.page.locator(".drawon canvas")).to_be_visible()


def finder(shown: Phone) -> None:
    card = shown.card("rust.arches")
    card.get_by_role("button", name="Photo", exact=True).tap()
    expect(card.get_by_role("button", name="Take it")).to_be_enabled()


def capture_menu(shown: Phone) -> None:
    shown.go("stage/outside")
    captured(shown)


def note_of_nothing(shown: Phone) -> None:
    capture_menu(shown)
    shown.page.locator("dialog").get_by_role("button", name="Note", exact=True).tap()
    expect(shown.page.locator("dialog textarea")).to_be_visible()


def asked_before_a_voice(shown: Phone) -> None:
    capture_menu(shown)
    shown.page.locator("dialog").get_by_role("button", name="Voice note").tap()
    expect(shown.page.get_by_role("heading", name="Who will be heard?")).to_be_visible()


def recording(shown: Phone) -> None:
    asked_before_a_voice(shown)
    shown.page.get_by_role("button", name="Only I will be heard").tap()
    expect(shown.page.locator("[data-recording]")).to_be_visible()


def recording_kept(shown: Phone) -> None:
    capture_menu(shown)
    shown.page.locator("dialog").get_by_role("button", name="Voice note").tap()
    alone = shown.page.get_by_role("button", name="Only I will be heard")
    under_way = shown.page.locator("[data-recording]")
    expect(alone.or_(under_way)).to_be_visible()
    if alone.is_visible():  # asked once in a visit
        alone.tap()
    expect(under_way).to_be_visible()
    shown.page.get_by_role("button", name="Stop and save").tap()
    expect(shown.page.locator("dialog audio")).to_be_visible()


def viewfinder(shown: Phone) -> None:
    capture_menu(shown)
    shown.page.get_by_role("button", name="Photos in a row").tap()
    expect(shown.page.get_by_role("button", name="Take it")).to_be_enabled()


def check_searched(shown: Phone) -> None:
    shown.go("sort")
    shown.page.get_by_role("button", name=re.compile("^Another check")).first.tap()
    expect(shown.page.get_by_role("searchbox")).to_be_visible()


def caution_opened(shown: Phone) -> None:
    card = shown.card("brakes.front-discs")
    card.locator("summary").tap()
    expect(card.locator("details.caution p").first).to_be_visible()


def locking_without_a_name(shown: Phone) -> None:
    shown.go("seal")
    shown.page.get_by_role("button", name=re.compile("^Lock it")).tap()
    expect(shown.page.locator("#lock-name")).to_be_focused()


def alarm(shown: Phone) -> None:
    card = shown.card("accident.water")
    shown.page.evaluate(NO_ROOM)
    card.locator(".choice").first.tap()
    expect(shown.page.get_by_role("alert").filter(has_text="NOT SAVED")).to_be_visible()


def no_such_visit(shown: Phone) -> None:
    shown.page.goto(f"{shown.origin}/app/#/visit/{'0' * 32}")
    expect(shown.page.get_by_role("button", name="Try again")).to_be_visible()


def seller(shown: Phone) -> None:
    shown.go("kerb")
    shown.page.get_by_role("button", name="Show the seller").tap()
    shown.page.get_by_role("button", name="Back to the inspector").tap()


STATES = [
    opened_photo,
    drawing_on_a_photo,
    finder,
    capture_menu,
    note_of_nothing,
    asked_before_a_voice,
    recording,
    recording_kept,
    viewfinder,
    check_searched,
    caution_opened,
    locking_without_a_name,
    alarm,
    no_such_visit,
    seller,
]


@pytest.mark.parametrize("reach", STATES, ids=lambda reach: reach.__name__)
def test_axe_finds_nothing_in_what_a_screen_opens(
    shown: Phone, reach: Callable[[Phone], None]
) -> None:
    shown.page.set_viewport_size({"width": 390, "height": 844})
    reach(shown)
    try:
        for theme in THEMES:
            sizes = NARROW if theme == "light" else SIZES[:1]
            assert look_over(shown.page, reach.__name__, theme, sizes) == {}, theme
    finally:
        if reach is seller:
            order = re.findall(r"\d", shown.page.get_by_text("To go back, tap").inner_text())
            for figure in order:
                shown.page.get_by_role("button", name=figure, exact=True).tap()
            expect(shown.page.get_by_role("heading", name="Money")).to_be_visible()
        # a page of its own for the next: what was opened, or made to fail, is gone
        shown.page.reload()


def test_the_whole_way_can_be_gone_by_keyboard(shown: Phone) -> None:
    page = goto(shown, "area/brakes", "light")
    card = page.locator('[data-item][data-grade="open"]').first
    title = card.locator("h3").inner_text()
    first = card.locator(".choice").first
    for _ in range(200):
        page.keyboard.press("Tab")
        if first.evaluate("(button) => button === document.activeElement"):
            break
    page.keyboard.press("Enter")
    expect(shown.status()).to_contain_text(title)


def test_axe_finds_nothing_in_any_named_example(examples: Page) -> None:
    examples.goto("/index.html")
    named = json.loads(examples.locator("[data-examples]").get_attribute("data-examples") or "[]")
    assert len(named) >= 20
    errors: list[object] = []  # words that are missing among them
    examples.on("pageerror", lambda error: errors.append(error))
    found = {}
    folder = SHOTS / "examples"
    folder.mkdir(parents=True, exist_ok=True)
    for number, name in enumerate(named):
        # another query each time: a change of the part after # alone would load nothing
        examples.goto(f"/index.html?{number}#{quote(name)}")
        expect(examples.get_by_role("heading", level=1)).to_have_text(name)
        # in `make proof` in each theme; here the document in one, and a second for its colors
        tried = THEMES if amount(1, short=0) else ["light", THEMES[1 + number % 2]]
        for theme in tried:
            examples.evaluate(f"document.documentElement.dataset.theme = '{theme}'")
            problems = violations(examples, looks_alone=theme != "light")
            if problems:
                found[f"{name}, {theme}"] = problems
            if problems or PICTURES:
                file = re.sub(r"\W+", "-", name)
                examples.screenshot(path=folder / f"{file}-{theme}.png", full_page=True)
    assert found == {}
    assert errors == []
