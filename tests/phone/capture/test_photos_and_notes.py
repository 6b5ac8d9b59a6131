"""Photos and notes of nothing yet: kept at once, sorted with a tap, sent like all else."""

from __future__ import annotations

import re

from playwright.sync_api import Locator, expect

from tests.browsing import AXE, EVERYTHING, LOOKS_ALONE, place_of, violations
from tests.phone.phone import Phone, picture


def opened(phone: Phone) -> Locator:
    """The sheet of the one control at the foot."""
    phone.page.get_by_role("button", name="Capture").tap()
    sheet = phone.page.locator("dialog.modal")
    expect(sheet.get_by_role("button", name="Close", exact=True)).to_be_visible()
    return sheet


def shoot(sheet: Locator, content: bytes, name: str = "IMG_1.jpg") -> None:
    """What the phone's own camera hands back."""
    camera = sheet.locator("input[capture]")
    camera.set_input_files({"name": name, "mimeType": "image/jpeg", "buffer": content})


def standing(phone: Phone, beginning: str) -> dict[str, object]:
    """What stands at the paths with this beginning."""
    found = {event["put"]: event["value"] for event in phone.events()}
    return {
        put: value
        for put, value in found.items()
        if put.startswith(beginning) and value is not None
    }


def test_the_control_is_under_the_thumb_on_every_screen_of_a_visit(phone: Phone) -> None:
    phone.begin(make="Tarn")
    button = phone.page.get_by_role("button", name="Capture")
    headings = set()
    for screen in ("", "stage/outside", "kerb", "facts", "seal", "map", "trouble"):
        phone.go(screen)
        phone.wait_until_still()  # the screen before had the control, too
        headings.add(phone.page.locator("h1").inner_text())
        expect(button).to_be_visible()
        box = place_of(button)
        # targets of 48 px at least (the design), in the lower quarter of an 844 px screen
        assert min(box["width"], box["height"]) >= 48, screen
        assert box["y"] > 633, screen
    assert len(headings) == 7
    phone.page.goto(f"{phone.origin}/app/#/")
    expect(phone.page.get_by_role("button", name="Start a car")).to_be_visible()
    expect(button).to_have_count(0)


def test_thirty_shots_in_a_row_without_a_question(phone: Phone) -> None:
    before = len(phone.cards())
    phone.begin(make="Tarn")
    phone.card("rust.arches").get_by_role("button", name="Rusted through", exact=True).tap()
    sheet = opened(phone)
    for seed in range(30):
        shoot(sheet, picture(100 + seed), f"IMG_{seed}.jpg")
        expect(sheet.locator(f'[data-kept="{seed + 1}"]')).to_have_count(1)
    kept = standing(phone, "media/")
    assert len(kept) == 30
    assert len(phone.cards()) == before + 30
    # each knows the check that was answered last, which is on the screen
    assert {str(value["near"]["item"]) for value in kept.values()} == {"rust.arches"}  # type: ignore[index]
    phone.wait_for_sync("server")
    answer = phone.context.request.post(
        f"{phone.origin}/api/v1/blobs/missing",
        data={"sha256": [put.removeprefix("media/") for put in kept]},
    )
    assert answer.json() == {"missing": []}


def test_one_tap_puts_a_photo_with_the_check_it_was_taken_at_and_undo_takes_it_back(
    phone: Phone,
) -> None:
    phone.begin(make="Tarn")
    phone.card("rust.arches")
    sheet = opened(phone)
    shoot(sheet, picture(1))
    expect(sheet.locator('[data-kept="1"]')).to_have_count(1)
    sheet.get_by_role("link", name="To sort: 1").tap()
    entry = phone.page.locator("[data-captured]")
    expect(entry.locator("img")).to_have_count(1)
    entry.get_by_role("button", name=re.compile("^Put with: ")).tap()
    expect(entry).to_have_count(0)
    assert standing(phone, "media/") == {}
    assert len(standing(phone, "items/rust.arches/photos/")) == 1
    phone.page.get_by_role("button", name="Undo").tap()
    expect(entry).to_have_count(1)
    assert standing(phone, "items/rust.arches/photos/") == {}


def test_another_check_is_found_by_its_words(phone: Phone) -> None:
    phone.begin(make="Tarn")
    phone.go("facts")
    sheet = opened(phone)
    shoot(sheet, picture(2))
    expect(sheet.locator('[data-kept="1"]')).to_have_count(1)
    phone.go("sort")
    entry = phone.page.locator("[data-captured]")
    # nothing was answered or looked at: no check is suggested
    expect(entry.get_by_role("button", name=re.compile("^Put with: "))).to_have_count(0)
    entry.get_by_role("button", name=re.compile("^Another check")).tap()
    entry.get_by_role("searchbox").fill("disc pads front")
    entry.get_by_role("button", name="Front brake pads", exact=True).tap()
    expect(entry).to_have_count(0)
    assert len(standing(phone, "items/brakes.front-pads/photos/")) == 1


def test_the_viewfinder_takes_one_after_another(phone: Phone) -> None:
    phone.begin(make="Tarn")
    sheet = opened(phone)
    sheet.get_by_role("button", name="Photos in a row").tap()
    shutter = sheet.get_by_role("button", name="Take it")
    for count in (1, 2, 3):
        expect(shutter).to_be_enabled()
        shutter.tap()
        expect(sheet.locator(f'[data-kept="{count}"]')).to_have_count(1)
    # this camera has neither light nor zoom, and none is offered
    expect(sheet.get_by_role("button", name="Light")).to_have_count(0)
    expect(sheet.get_by_role("slider")).to_have_count(0)
    sheet.get_by_role("button", name="Done").tap()
    expect(sheet.get_by_role("link", name=re.compile("To sort"))).to_be_visible()


def test_light_and_zoom_are_offered_where_the_camera_has_them(phone: Phone) -> None:
    """W3C MediaStream Image Capture: `torch` and `zoom` among a track's capabilities."""
    phone.begin(make="Tarn")
    phone.page.evaluate(
        """() => {
          globalThis.asked = [];
          const of = MediaStreamTrack.prototype;
          const before = of.getCapabilities;
          of.getCapabilities = function () {
            return { ...before.call(this), torch: true, zoom: { min: 1, max: 4, step: 0.5 } };
          };
          of.applyConstraints = async (wanted) => { asked.push(wanted.advanced[0]); };
        }"""
    )
    sheet = opened(phone)
    sheet.get_by_role("button", name="Photos in a row").tap()
    light = sheet.get_by_role("button", name="Light")
    light.tap()
    expect(light).to_have_attribute("aria-pressed", "true")
    sheet.get_by_role("slider").fill("2.5")
    phone.wait_until(lambda: phone.page.evaluate("asked") == [{"torch": True}, {"zoom": 2.5}])
    phone.page.reload()  # into a page with the browser's own functions


def test_a_note_of_nothing_is_kept_however_it_is_left_and_sorted_to_a_check(phone: Phone) -> None:
    phone.begin(make="Tarn")
    phone.card("rust.arches")
    sheet = opened(phone)
    sheet.get_by_role("button", name="Note", exact=True).tap()
    sheet.get_by_label("Note").fill("Seller has the second key")
    phone.page.keyboard.press("Escape")
    expect(phone.status()).to_contain_text("Note saved on this phone.")
    (value,) = standing(phone, "notes/").values()
    assert value["text"] == "Seller has the second key"  # type: ignore[index]
    sheet.get_by_role("link", name="To sort: 1").tap()
    entry = phone.page.locator("[data-captured]")
    expect(entry).to_contain_text("Seller has the second key")
    entry.get_by_role("button", name=re.compile("^Put with: ")).tap()
    expect(entry).to_have_count(0)
    assert standing(phone, "notes/") == {}
    assert standing(phone, "items/rust.arches/note") == {
        "items/rust.arches/note": "Seller has the second key"
    }


def photo_of(phone: Phone, count: int) -> Locator:
    """An item's card with so many photos."""
    phone.begin(make="Tarn")
    card = phone.card("rust.arches")
    card.get_by_role("button", name="Rusted through", exact=True).tap()
    for seed in range(count):
        phone.add_photo(card, picture(seed, (1600, 1200)), f"IMG_{seed}.jpg")
        expect(card.locator(".photo img")).to_have_count(seed + 1)
    return card


def test_a_photo_fills_the_screen_and_comes_nearer(phone: Phone) -> None:
    card = photo_of(phone, 1)
    card.locator(".photo").tap()
    sheet = phone.page.locator("dialog.modal")
    frame = sheet.locator(".photo-frame")
    expect(frame.locator("img")).to_be_visible()
    nearer = sheet.get_by_role("button", name="Nearer")
    nearer.tap()
    expect(frame).to_have_attribute("data-scale", "1.60")
    sheet.get_by_role("button", name="Farther").tap()
    expect(frame).to_have_attribute("data-scale", "1.00")
    # two fingers that part from 100 to 300 px: three times as near
    box = place_of(frame)
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    devtools = phone.context.new_cdp_session(phone.page)

    def touch(kind: str, *away: float) -> None:
        points = [{"x": x + one, "y": y, "id": n} for n, one in enumerate(away)]
        devtools.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})

    touch("touchStart", -50, 50)
    for step in range(1, 11):
        touch("touchMove", -50 - 10 * step, 50 + 10 * step)
    touch("touchEnd")
    phone.wait_until(lambda: float(frame.get_attribute("data-scale") or 0) > 2.5)
    assert 2.5 < float(frame.get_attribute("data-scale") or 0) < 3.5
    devtools.detach()
    sheet.get_by_role("button", name="Close", exact=True).tap()
    expect(sheet).to_have_count(0)


def test_a_caption_is_free_and_a_photo_can_be_put_first(phone: Phone) -> None:
    card = photo_of(phone, 2)
    card.locator(".photo").nth(1).tap()
    sheet = phone.page.locator("dialog.modal")
    field = sheet.get_by_role("textbox", name="Caption")
    field.fill("Hole behind the liner")
    field.blur()
    phone.wait_until(
        lambda: (
            [
                value["caption"]  # type: ignore[index]
                for value in standing(phone, "items/rust.arches/photos/").values()
            ].count("Hole behind the liner")
            == 1
        )
    )
    sheet.get_by_role("button", name="Put first").tap()
    expect(sheet.get_by_role("button", name="Put first")).to_have_count(0)  # it is
    sheet.get_by_role("button", name="Close", exact=True).tap()
    card.locator(".photo").first.tap()
    expect(sheet.get_by_role("textbox", name="Caption")).to_have_value("Hole behind the liner")


def test_axe_finds_nothing(phone: Phone) -> None:
    phone.begin(make="Tarn")
    phone.card("rust.arches")
    sheet = opened(phone)
    shoot(sheet, picture(3))
    expect(sheet.locator('[data-kept="1"]')).to_have_count(1)
    found = []
    # the app's content policy lets in no script from beside it, and axe needs none
    phone.page.evaluate(AXE.read_text(encoding="utf-8"))

    def look() -> None:
        for scheme, options in ("light", EVERYTHING), ("dark", LOOKS_ALONE):
            phone.page.emulate_media(color_scheme=scheme)
            broken = violations(phone.page, options)
            found.extend((scheme, one["id"], one["nodes"][0]["html"]) for one in broken)

    look()
    sheet.get_by_role("link", name="To sort: 1").tap()
    expect(phone.page.locator("[data-captured]")).to_have_count(1)
    look()
    phone.page.locator("[data-captured] .photo").tap()
    expect(phone.page.locator(".photo-frame img")).to_be_visible()
    look()
    phone.page.emulate_media(color_scheme="null")
    assert found == []
