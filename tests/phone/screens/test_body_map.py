"""The body map: a panel is tapped or picked from a list; paint shows by figure and pattern."""

from __future__ import annotations

from playwright.sync_api import expect

from tests.phone.phone import Phone, picture

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
        page.locator(f'[data-panel="{panel}"]').click()
        fields = page.locator(".sheet .reading input")
        for n in range(3):
            fields.nth(n).fill(str(int(film) + n))
        expect(phone.status()).to_contain_text(str(int(film) + 2))
    wing = page.locator('[data-panel="front-wing-left"]')
    expect(wing.locator(".panel-filler")).to_have_count(1)
    expect(wing.locator(".panel-pattern")).to_have_count(1)
    expect(wing.locator(".panel-figure")).to_have_text("901")
    row = page.get_by_role("button", name="Left front fender")
    expect(row.last).to_contain_text("filler")
    expect(page.locator('[data-panel="roof"] .panel-pattern')).to_have_count(0)


def test_a_dent_and_a_photo_are_recorded_at_their_panel_from_the_list_alone(phone: Phone) -> None:
    phone.begin()
    phone.go("map")
    page = phone.page
    row = page.locator(".row-button").filter(has_text="Right rear door")
    row.focus()
    page.keyboard.press("Enter")
    sheet = page.locator('[data-sheet="rear-door-right"]')
    sheet.get_by_role("button", name="Dent").tap()
    expect(row).to_contain_text("Dent")
    phone.add_photo(sheet, picture(4))
    expect(phone.status()).to_have_text("Photo saved on this phone.")
    events = {event["put"]: event["value"] for event in phone.events()}
    assert events["items/body.panels/readings/dent/rear-door-right"]["typed"] == "yes"
    (photo,) = [value for put, value in events.items() if "/photos/" in put]
    assert photo["place"] == "rear-door-right"
