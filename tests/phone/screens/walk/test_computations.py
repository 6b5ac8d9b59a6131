"""Every computation is read where the person stands, in the app, with the server stopped.

The records are those of tests/checklists/reached.py, typed by hand into the card of their item;
what is expected of them is checked against law, tables and libraries elsewhere.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Locator, expect

from tests.checklists.reached import MEASURED, Measured
from tests.checkout import checklist_bundle
from tests.phone.far_away import far_away
from tests.phone.phone import Phone


@pytest.fixture(scope="module")
def away(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Phone]:
    """A phone at a car, far from its server, which is dead."""

    def near(phone: Phone) -> None:
        phone.begin(make="Tarn", asking_price="2400")
        # what takes longer than an hour is asked too
        phone.page.get_by_role("button", name=re.compile("^Thorough")).tap()
        expect(phone.status()).to_contain_text("Thorough")

    data = tmp_path_factory.mktemp("computations")
    with far_away(browser, data, region="eu", near=near) as phone:
        yield phone


def field(card: Locator, item: str, name: str) -> Locator:
    reading, _, place = name.partition("/")
    rows = checklist_bundle()["rules"]["items"][item]["readings"]
    figure = next(row for row in rows if row["id"] == reading).get("figure")
    # the car's own figures are kept with the car
    path = f"items/{item}/readings/{reading}/{place or 'one'}"
    if figure is not None:
        path = f"car/{figure}_{place}" if place else f"car/{figure}"
    return card.locator("#reading-" + re.sub(r"[^a-z0-9-]", "-", path))


# units that the app writes otherwise than the judge names them (web/src/app/text/en.ts)
SHOWN = {"in/32": "1/32 in", "um": "µm", "degC": "°C", "ohm": "Ω", "1": ""}
ANSWERS = {"soft": "Soft when probed", "dot4": "Cap says DOT 4"}
NO_FIGURE = {"open": "Open circuit", "none": "Gauge reads nothing"}


def typed(phone: Phone, case: Measured) -> Locator:
    """The card of the item with the readings of the case typed into it."""
    card = phone.card(case.item)
    for number in case.car.values():
        card.get_by_role("button", name=str(number), exact=True).first.tap()
    if case.choice:
        card.get_by_role("button", name=ANSWERS[case.choice], exact=True).tap()
    for name, (text, unit) in case.readings.items():
        place = field(card, case.item, name)
        folded = card.get_by_role("button", name=re.compile("^Type readings"))
        while place.count() == 0:
            folded.first.tap()
            phone.wait_until_still()  # a second tap would fold it again
        place.focus()
        several = place.locator("xpath=ancestor::*[@class='readings']")
        row = several if several.count() else place.locator("xpath=ancestor::*[@class='reading']")
        switch = row.get_by_role("button", name=re.compile("^Unit: "))
        while switch.count() and switch.inner_text() != SHOWN.get(unit, unit):
            switch.tap()
        if text in NO_FIGURE:
            card.get_by_role("button", name=NO_FIGURE[text]).tap()
        else:
            place.fill(text)
        place.press("Tab")
    return card


# a brake tester's sheet is asked for in Europe alone
ASKED = [case for case in MEASURED if case.item != "brakes.tester-print"]


@pytest.mark.parametrize("case", ASKED, ids=[case.id for case in ASKED])
def test_a_reading_is_worked_out_on_the_card_as_it_is_typed(case: Measured, away: Phone) -> None:
    reasons = typed(away, case).locator(".reasons")
    expect(reasons).to_contain_text(case.says[0])
    more = reasons.locator('.more[aria-expanded="false"]')
    if more.count():
        more.tap()
    for text in case.says[1:]:
        expect(reasons).to_contain_text(text)


def test_danger_time_and_money_name_what_they_come_from(away: Phone) -> None:
    """J1 to J6, P1, P2, P3 and P5 on the screens where they are asked."""
    away.go("facts")
    page = away.page
    for use in ("Show", "Track"):
        page.get_by_role("button", name=re.compile(f"^{use}")).first.tap()
    expect(page.get_by_text("A track car needs what a show car must not have")).to_be_visible()
    worth = page.get_by_label(re.compile("Value when done")).first
    worth.fill("9000")
    worth.blur()

    lead = away.card("rodents.battery-lead")
    lead.get_by_role("button", name="Cable nibbled, not through", exact=True).tap()
    expect(lead).to_have_attribute("data-grade", "major")
    away.card("fluids.oil-leak").get_by_role("button", name="Oil wet, a drop hangs").tap()
    away.card("upkeep.brake-fluid").get_by_role("button", name="Seller says so").tap()

    away.decide()
    home = page.get_by_role("region", name="The drive home")
    expect(home).to_contain_text("Trailer it.")
    verdict = page.get_by_role("region", name="Verdict")
    expect(verdict).to_contain_text("State and local law")
    away.wait_for_judge()
    # on this phone other tests may have found more than stands open
    more = home.get_by_role("button", name=re.compile("more reasons?$"))
    if more.count():
        more.tap()
    expect(home).to_contain_text("A chewed hot cable near oil feeds a fire.")
    following = page.get_by_role("region", name="Check next")
    expect(following).to_contain_text("In 15 min:")
    expect(following).to_contain_text("until this is safe")
    expect(following).to_contain_text(re.compile(r"\d+% of what matters"))
    money = page.get_by_role("region", name="Money")
    expect(money).to_contain_text("80% sure it stays under")
    expect(money).to_contain_text(re.compile("Top price|Not worth it at any price"))
    money.get_by_text(re.compile(r"^Set aside for \d+ unchecked items$")).tap()
    expect(
        money.get_by_role("link", name=re.compile("^Frame rails and crossmembers, "))
    ).to_be_visible()
    money.get_by_text(re.compile(r"^\d+ services? due")).tap()
    expect(money).to_contain_text("Somebody says so, and there's no receipt.")
