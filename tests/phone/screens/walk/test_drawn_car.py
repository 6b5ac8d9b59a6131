"""The drawn car of each body style, with every figure and mark at once, as a browser sets it.

Nothing covers anything, nothing leaves its view, and what is too small for a finger is in the list.
Common practice, no source: words over words cannot be read. Size of targets: WCAG 2.2, 2.5.8 has 24
px and exempts what another control does as well; the house asks for 48 px of that control.
"""

from __future__ import annotations

from typing import Any
from urllib.parse import quote

import pytest
from playwright.sync_api import Page, expect

from bradawl.design import outlines
from tests.phone.phone import Phone

#: Letters as they are inked: of a line of text, the browser's own box has room above and below.
_BOXES = """() => [...document.querySelectorAll(".view svg")].map((svg) => {
  const flat = ({ left, top, right, bottom }) => ({ left, top, right, bottom });
  const inked = (text) => {
    const box = text.getBoundingClientRect();
    const size = box.height / text.getBBox().height * parseFloat(getComputedStyle(text).fontSize);
    const line = text.getScreenCTM();
    const base = line.f + line.d * Number(text.getAttribute("y"));
    const low = /[a-z]/.test(text.textContent) ? 0.2 : 0;
    return { ...flat(box), top: base - 0.72 * size, bottom: base + low * size };
  };
  const said = [...svg.querySelectorAll("text")].filter((one) => one.textContent !== "");
  const drawn = [...svg.querySelectorAll(".tag > :last-child, .tapped")];
  const named = (one) => `${one.closest("[data-on], [data-place]")?.outerHTML.slice(0, 60) ?? ""} `
    + (one.textContent || one.getAttribute("class") || one.parentNode.getAttribute("class"));
  return {
    view: flat(svg.getBoundingClientRect()),
    boxes: [
      ...said.map((one) => ({ name: named(one), ...inked(one) })),
      ...drawn.map((one) => ({ name: named(one), ...flat(one.getBoundingClientRect()) })),
    ],
    fields: [...svg.querySelectorAll(".field")].map((field) => ({
      name: field.dataset.place,
      room: flat(field.querySelector("rect").getBoundingClientRect()),
      word: flat(field.querySelector("text").getBoundingClientRect()),
    })),
  };
})"""
SLACK_PX = 0.75


def _overlap(one: dict[str, Any], other: dict[str, Any]) -> bool:
    wide = min(one["right"], other["right"]) - max(one["left"], other["left"])
    high = min(one["bottom"], other["bottom"]) - max(one["top"], other["top"])
    return wide > SLACK_PX and high > SLACK_PX


def _leaves(inner: dict[str, Any], outer: dict[str, Any]) -> bool:
    return bool(
        inner["left"] < outer["left"] - SLACK_PX
        or inner["right"] > outer["right"] + SLACK_PX
        or inner["top"] < outer["top"] - SLACK_PX
        or inner["bottom"] > outer["bottom"] + SLACK_PX
    )


@pytest.mark.parametrize("style", outlines.STYLES)
def test_no_word_figure_or_mark_covers_another_or_leaves_the_drawing(
    examples: Page, style: str
) -> None:
    examples.goto(f"/index.html?{style}#{quote(f'body map, {style}, full')}")
    expect(examples.locator(".view")).to_have_count(3)
    examples.evaluate("document.fonts.ready")
    for size in ("100%", "200%"):
        examples.evaluate(f"document.documentElement.style.fontSize = '{size}'")
        views = examples.evaluate(_BOXES)
        assert sum(len(view["boxes"]) for view in views) > 40
        for view in views:
            boxes = view["boxes"]
            covered = [
                (one["name"], other["name"])
                for at, one in enumerate(boxes)
                for other in boxes[at + 1 :]
                if _overlap(one, other)
            ]
            assert covered == [], size
            assert [box["name"] for box in boxes if _leaves(box, view["view"])] == [], size
            across = [
                field["name"]
                for field in view["fields"]
                if field["word"]["left"] < field["room"]["left"] - SLACK_PX
                or field["word"]["right"] > field["room"]["right"] + SLACK_PX
            ]
            assert across == [], size


_TARGETS = """() => {
  const size = (one) => {
    const { width, height } = one.getBoundingClientRect();
    return Math.min(width, height);
  };
  const drawn = [...document.querySelectorAll(".view [data-panel], .view [data-place]")];
  const rows = [...document.querySelectorAll("[data-row]")];
  return {
    drawn: drawn.map((one) => [one.dataset.panel ?? one.dataset.place, size(one)]),
    rows: rows.map((one) => [one.dataset.row, size(one)]),
  };
}"""


def test_whatever_is_drawn_of_a_car_can_be_tapped_there_or_in_the_list(phone: Phone) -> None:
    phone.begin()
    phone.go("map")
    page = phone.page
    choice = page.get_by_role("group", name="Body")
    for number, style in enumerate(outlines.STYLES):
        name = {"wagon": "station wagon", "suv": "SUV"}.get(style, style)
        if number > 0:  # until somebody says what the car is, the question stands open
            page.get_by_role("button", name="Change", exact=True).click()
        expect(choice).to_be_visible()
        choice.get_by_role("button", name=name, exact=True).click()
        panel = outlines.panels_of(style)[1]
        expect(page.locator(f'[data-row="{panel}"]')).to_have_count(1)
        expect(page.get_by_text("Drawn as: ")).to_contain_text(name)
        targets = page.evaluate(_TARGETS)
        rows = dict(targets["rows"])
        small = [place for place, px in targets["drawn"] if px < 48 and rows.get(place, 0) < 48]
        assert small == [], style
        assert {place for place, _ in targets["drawn"]} >= set(outlines.panels_of(style))
