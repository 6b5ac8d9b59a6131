"""Every layout of the phone on which a car is looked over: narrow, wide, on its side, large text.

No page moves sideways, head and foot leave the room to what one reads, and whatever is tapped is as
large as a thumb in a glove: 48 px at least (the design; Android asks for 48 dp, from memory), more
than WCAG 2.2, 2.5.5 asks (44). With BRADAWL_PICTURES=1 pictures go to build/phone/layouts.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any, NamedTuple

import pytest
from playwright.sync_api import expect

from tests.browsing import AXE, LOOKS_AND_TARGETS, PICTURES, violations
from tests.phone.phone import SIZE, Phone, picture

SHOTS = Path(__file__).parents[3] / "build" / "phone" / "layouts"


class Layout(NamedTuple):
    width: int
    height: int
    text: str = "100%"
    theme: str = "light"
    hand: str = "right"


LAYOUTS = {
    "360": Layout(360, 780),
    "390": Layout(390, 844),
    "430-dark": Layout(430, 932, theme="dark"),
    "on-its-side": Layout(844, 390),
    "tablet": Layout(820, 1180),
    "large-text": Layout(390, 844, text="200%"),
    "left-outdoor": Layout(390, 844, theme="outdoor", hand="left"),
}
SCREENS = ["walk", "rows", "card", "decision", "sheet", "sort", "find", "facts"]
#: Of the height of the screen: what head and foot may take while a page is read.
MOST_FRAME = 0.3

_MEASURED = """() => {
  // somewhere within a page that is longer than the screen
  const room = document.documentElement.scrollHeight - innerHeight;
  const before = scrollY;
  if (before === 0) scrollTo(0, room / 2);
  const frame = [".top", ".foot"].map((name) => {
    const { top, bottom } = document.querySelector(name).getBoundingClientRect();
    // a page that fits has nothing behind them
    return room < bottom - top ? 0 : Math.min(bottom, innerHeight) - Math.max(top, 0);
  }).map((size) => Math.max(0, size));
  const seen = document.activeElement.getBoundingClientRect();
  const hidden = document.activeElement.matches("input")
    && (seen.top < 0 || seen.bottom > innerHeight - frame[1]);
  if (before === 0) scrollTo(0, 0);
  const open = document.querySelector("dialog[open]");
  const tapped = "a, button, input, select, textarea, summary";
  const small = [...(open ?? document).querySelectorAll(tapped)]
    .filter((one) => {
      const style = getComputedStyle(one);
      // a link within a sentence is as high as its line (WCAG 2.5.8, inline)
      return one.checkVisibility({ opacityProperty: true, visibilityProperty: true }) &&
        style.display !== "inline" && one.type !== "file";
    })
    .map((one) => {
      // the whole row opens the card, but for its answer
      const of = one.classList.contains("item-name") ? one.closest(".item-row") : one;
      const { width, height } = of.getBoundingClientRect();
      return [one, Math.min(width, height)];
    })
    .filter(([, size]) => size > 0 && size < 47.5)
    .map(([one, size]) => `${size.toFixed(0)} px: ${one.outerHTML.slice(0, 120)}`);
  const wide = document.documentElement.scrollWidth - innerWidth;
  return { frame: (frame[0] + frame[1]) / innerHeight, small, wide, hidden };
}"""


def turn(phone: Phone, to: Layout) -> None:
    page = phone.page
    page.set_viewport_size({"width": to.width, "height": to.height})
    page.evaluate(
        """({ text, theme, hand }) => {
          const root = document.documentElement;
          root.style.fontSize = text;
          Object.assign(root.dataset, { theme, hand });
          // the size came before the letters: the app keeps a focused field in sight as it comes
          dispatchEvent(new Event("resize"));
        }""",
        to._asdict(),
    )


def screen(phone: Phone, name: str) -> None:
    page = phone.page
    if name == "walk":
        phone.go("")
        expect(page.locator("[data-stage]").first).to_be_visible()
    elif name == "rows":
        phone.go("stage/round")
        phone.whole_page()
    elif name == "card":
        card = phone.card("electrical.rest-voltage")
        card.get_by_role("textbox", name="Voltage at rest").focus()
    elif name == "decision":
        phone.go("kerb")
        phone.wait_for_judge()
    elif name == "sheet":
        phone.go("stage/round")
        page.get_by_role("button", name="Capture").tap()
        expect(page.get_by_role("button", name="Voice note")).to_be_visible()
    else:
        phone.go(name)
    phone.wait_until_still()


@pytest.fixture
def car(phone: Phone) -> Phone:
    """A car with a fault, its photo, and a photo that waits to be sorted."""
    phone.begin(make="Tarn", model="Nine", asking_price="3500")
    card = phone.card("rust.arches")
    card.get_by_role("button", name="Rusted through", exact=True).tap()
    phone.add_photo(card, picture(3, (800, 600)))
    expect(card.locator(".photo img")).to_have_count(1)
    phone.page.get_by_role("button", name="Capture").tap()
    sheet = phone.page.locator("dialog")
    shot = {"name": "a.jpg", "mimeType": "image/jpeg", "buffer": picture(4)}
    sheet.locator("input[capture]").set_input_files(shot)
    expect(sheet.locator('[data-kept="1"]')).to_have_count(1)
    return phone


@pytest.mark.new_phone
def test_every_layout_has_room_to_read_and_targets_for_a_thumb(car: Phone) -> None:
    phone = car
    wrong: dict[str, Any] = {}
    SHOTS.mkdir(parents=True, exist_ok=True)
    for name in SCREENS:
        screen(phone, name)
        for layout, size in LAYOUTS.items():
            turn(phone, size)
            phone.wait_until_still()
            phone.page.wait_for_function("() => true")
            found = phone.page.evaluate(_MEASURED)
            if (
                found["wide"] > 0
                or found["small"]
                or (found["hidden"] and size.text == "100%")
                or found["frame"] > MOST_FRAME
            ):
                wrong[f"{name}, {layout}"] = found
            if name == "card":
                phone.page.evaluate(AXE.read_text(encoding="utf-8"))
                # what the bars at top and foot cover now is free after a scroll
                bars = "document.querySelectorAll('.top, .foot')"
                phone.page.evaluate(f"{bars}.forEach((bar) => (bar.style.position = 'static'))")
                told = [
                    f"{one['id']}: {node['html'][:120]}"
                    for one in violations(phone.page, LOOKS_AND_TARGETS)
                    for node in one["nodes"]
                ]
                if told:
                    wrong[f"{name}, {layout}, axe"] = told
                phone.page.evaluate(f"{bars}.forEach((bar) => (bar.style.position = ''))")
            if PICTURES:
                phone.page.screenshot(path=SHOTS / f"{name}-{layout}.png")
        turn(phone, Layout(SIZE["width"], SIZE["height"]))
        phone.page.keyboard.press("Escape")
    phone.page.reload()
    assert wrong == {}
