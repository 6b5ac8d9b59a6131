"""The body map: the car as it is, its panels and places tapped or picked from a list.

Paint shows by figure and pattern. Which panels a style has: `tests/design/test_outlines.py`.
"""

from __future__ import annotations

from playwright.sync_api import Browser, Route, expect

from tests.phone.phone import Phone, picture
from tests.phone.server import Server

FILM = {
    "bonnet": "110",
    "roof": "112",
    "boot-lid": "108",
    "front-door-left": "111",
    "front-wing-left": "900",
}


def test_a_panel_far_from_the_cars_own_usual_shows_it_in_three_ways(phone: Phone) -> None:
    phone.begin()
    phone.go("map")
    page = phone.page
    for panel, film in FILM.items():
        page.locator(f'[data-row="{panel}"]').click()
        fields = page.locator(".sheet .reading input")
        for n in range(3):
            fields.nth(n).fill(str(int(film) + n))
        expect(phone.status()).to_contain_text(str(int(film) + 2))
    wing = page.locator('[data-panel="front-wing-left"]')
    expect(wing.locator(".panel-filler")).to_have_count(1)
    expect(wing.locator(".panel-pattern")).to_have_count(1)
    expect(page.locator('[data-on="front-wing-left"] .panel-figure')).to_have_text("901")
    row = page.get_by_role("button", name="Left front fender")
    expect(row.last).to_contain_text("filler")
    expect(page.locator('[data-panel="roof"] .panel-pattern')).to_have_count(0)


def test_a_dent_and_a_photo_are_recorded_at_their_panel_from_the_list_alone(phone: Phone) -> None:
    phone.begin()
    phone.go("map")
    page = phone.page
    row = page.locator(".row-button").filter(has_text="Right rear door")
    # it loads apart, and moves the list
    expect(page.locator(".drawing svg:not(.patterns)").first).to_be_visible()
    row.press("Enter")
    sheet = page.locator('[data-sheet="rear-door-right"]')
    sheet.get_by_role("button", name="Dent").tap()
    expect(row).to_contain_text("Dent")
    phone.add_photo(sheet, picture(4))
    expect(phone.status()).to_have_text("Photo saved on this phone.")
    events = {event["put"]: event["value"] for event in phone.events()}
    assert events["items/body.panels/readings/dent/rear-door-right"]["typed"] == "yes"
    (photo,) = [value for put, value in events.items() if "/photos/" in put]
    assert photo["place"] == "rear-door-right"


def test_until_somebody_says_it_is_drawn_as_a_sedan_and_a_picture_makes_it_a_pickup(
    phone: Phone,
) -> None:
    phone.begin()
    phone.go("map")
    page = phone.page
    expect(page.get_by_text("Drawn as a sedan until you say what it is.")).to_be_visible()
    expect(page.locator('[data-panel="rear-door-left"]')).to_have_count(1)
    page.get_by_role("group", name="Body").get_by_role("button", name="pickup").tap()
    expect(page.locator('[data-panel="bed-left"]')).to_have_count(1)
    expect(page.locator('[data-panel="rear-door-left"]')).to_have_count(0)
    assert {e["put"]: e["value"] for e in phone.events()}["car/body_style"] == "pickup"
    page.locator('[data-panel="tailgate"]').click()
    sheet = page.locator('[data-sheet="tailgate"]')
    expect(sheet.get_by_role("heading", name="Tailgate", exact=True)).to_be_focused()
    expect(sheet.get_by_label("Paint film").first).to_be_visible()
    expect(sheet.locator('[data-item="rust.bed"]')).to_be_visible()


def test_a_name_that_says_the_body_is_taken_at_its_word(phone: Phone) -> None:
    phone.begin()
    page = phone.page
    model = page.get_by_label("Model")
    model.fill("Sandpiper 2.2 Wagon")
    model.blur()
    chosen = page.get_by_role("group", name="Body").get_by_role("button", name="station wagon")
    expect(chosen).to_have_attribute("aria-pressed", "true")
    # two words are no word
    phone.page.goto(f"{phone.origin}/app/#/")
    phone.begin()
    model.fill("Convertible pickup")
    model.blur()
    expect(phone.status()).to_contain_text("Convertible pickup")
    pressed = page.get_by_role("group", name="Body").locator("[aria-pressed=true]")
    expect(pressed).to_have_count(0)


def test_a_tap_on_a_place_opens_its_checks_and_a_fault_there_is_marked(phone: Phone) -> None:
    phone.begin()
    phone.go("stage/round")
    page = phone.page
    page.get_by_role("link", name="Body map").click()
    page.locator('[data-place="engine-bay"]').click()
    sheet = page.locator('[data-sheet="engine-bay"]')
    expect(sheet.get_by_role("heading", name="Engine bay")).to_be_focused()
    row = sheet.locator('[data-check="electrical.battery"]')
    row.click()
    card = sheet.locator('[data-item="electrical.battery"]')
    card.get_by_role("button").filter(has_text="Battery loose").click()
    expect(page.locator('[data-place="engine-bay"] .tag:not(.tag-look_here)')).to_have_count(1)
    expect(page.locator('[data-row="engine-bay"]')).to_contain_text("checks")


def test_where_to_look_next_is_ringed_on_the_car_and_said_in_the_list(phone: Phone) -> None:
    phone.begin()
    phone.go("kerb")
    page = phone.page
    rows = page.get_by_role("region", name="Check next").get_by_role("listitem")
    expect(rows.first).to_contain_text("Look here")
    phone.go("map")
    expect(page.locator(".tag-look_here")).to_have_count(1)
    said = page.locator(".row-button").filter(has_text="Look here")
    expect(said).to_have_count(1)
    place = said.get_attribute("data-row")
    ringed = page.locator(f'[data-on="{place}"], [data-place="{place}"]')
    # a wheel's tag stands beside its place
    if not str(place).startswith(("front-", "rear-")):
        expect(ringed.locator(".tag-look_here")).to_have_count(1)


_LATE_EFFECTS = """
const soon = setTimeout, frame = requestAnimationFrame;
window.setTimeout = (run, ms = 0, ...more) => soon(run, ms + 1500, ...more);
window.requestAnimationFrame = (run) => soon(() => frame(run), 1500);
0
"""


def test_the_map_opens_when_its_parts_arrive_just_as_it_is_shown(
    browser: Browser, standing_server: Server
) -> None:
    """As by a link to the map, on a phone that has not loaded what comes later."""
    phone = Phone(browser, standing_server.origin, service_workers="block")
    phone.open()
    phone.begin()
    waiting: list[Route] = []
    phone.context.route("**/assets/more-parts-*.js", lambda route: waiting.append(route))
    phone.close()
    phone.go("map")
    phone.wait_until(lambda: bool(waiting))
    phone.page.evaluate(_LATE_EFFECTS)  # as on a busy phone
    for route in waiting:
        route.continue_()
    phone.context.unroute("**/assets/more-parts-*.js")
    expect(phone.page.locator(".drawing svg:not(.patterns)").first).to_be_visible()
    phone.throw_away()
