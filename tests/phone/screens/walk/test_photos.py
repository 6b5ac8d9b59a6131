"""Photos: made small, upright and without their place; what is no picture is said."""

from __future__ import annotations

import hashlib
import io
from pathlib import Path
from typing import Any

import pytest
from PIL import Image
from playwright.sync_api import Locator, expect

from tests.browsing import place_of
from tests.phone.phone import Phone, picture

pytestmark = pytest.mark.new_phone  # all that a phone holds is counted


@pytest.fixture
def card(phone: Phone) -> Locator:
    phone.begin()
    card = phone.card("rust.arches")
    card.get_by_role("button", name="Rusted through", exact=True).tap()
    return card


def stored(phone: Phone) -> dict[str, Any]:
    """Bytes of the photos on the server, by hash, as the phone would fetch them back."""
    found: dict[str, Any] = {}
    for photo in phone.cards():
        answer = phone.context.request.get(f"{phone.origin}/api/v1/blobs/{photo['sha256']}")
        assert answer.ok
        found[photo["sha256"]] = answer.body()
    return found


def on_its_side(ground: tuple[int, int, int] = (60, 90, 120)) -> bytes:
    """A camera's 12 megapixels: red in the corner that is the top right once it is upright."""
    drawn = Image.new("RGB", (4000, 3000), ground)
    drawn.paste((220, 30, 30), (0, 0, 1200, 900))
    exif = Image.Exif()
    exif[0x0112] = 6  # EXIF orientation 6: turn by 90 degrees clockwise
    exif.get_ifd(0x8769)[0x9003] = "2026:11:20 10:11:12"
    exif.get_ifd(0x8825).update({1: "N", 2: (48.0, 12.0, 0.0), 3: "E", 4: (16.0, 22.0, 0.0)})
    out = io.BytesIO()
    drawn.save(out, "JPEG", quality=88, exif=exif)
    return out.getvalue()


def test_a_camera_picture_is_upright_small_dated_and_without_its_place(
    phone: Phone, card: Locator
) -> None:
    phone.add_photo(card, on_its_side())
    expect(card.locator(".photo img")).to_have_count(1)
    phone.wait_for_sync("server")
    (value,) = [event["value"] for event in phone.events() if "/photos/" in event["put"]]
    assert (value["width"], value["height"]) == (1200, 1600)
    assert value["taken"].startswith("2026-11-20T10:11:12")
    kept = phone.page.evaluate(
        """async () => {
          const open = await new Promise((resolve) => {
            const request = indexedDB.open("bradawl");
            request.onsuccess = () => resolve(request.result);
          });
          const [row] = await new Promise((resolve) => {
            const request = open.transaction("photos").objectStore("photos").getAll();
            request.onsuccess = () => resolve(request.result);
          });
          open.close();
          return Array.from(new Uint8Array(row.bytes));
        }"""
    )
    sent = Image.open(io.BytesIO(bytes(kept)))
    assert sent.size == (1200, 1600)
    assert not sent.getexif()
    red = sent.convert("RGB").getpixel((1100, 100))
    assert isinstance(red, tuple)
    assert red[0] > 180
    (name,) = stored(phone)
    assert hashlib.sha256(bytes(kept)).hexdigest() == name


def test_the_place_of_a_photo_is_noted_only_when_it_is_wanted_and_never_in_the_picture(
    phone: Phone, card: Locator
) -> None:
    def places() -> list[str]:
        return [event["value"] for event in phone.events() if event["put"] == "about/place"]

    phone.add_photo(card, on_its_side())
    expect(card.locator(".photo img")).to_have_count(1)
    assert places() == []
    visit = phone.page.url
    phone.page.goto(f"{phone.origin}/app/#/storage")
    phone.page.get_by_role("button", name="Keep for this look-over").tap()
    phone.wait_until(lambda: (phone.meta("preferences") or {}).get("photoPlace") is True)
    phone.page.goto(visit)
    phone.reopen()  # the choice is kept
    card = phone.card("rust.arches")
    phone.add_photo(card, on_its_side((120, 90, 60)))
    expect(card.locator(".photo img")).to_have_count(2)
    # 48° 12' N, 16° 22' E
    assert places() == ["48.20000, 16.36667"]
    phone.wait_for_sync("server")
    for content in stored(phone).values():
        assert not Image.open(io.BytesIO(content)).getexif()


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"", "The photo is empty"),
        (b"%PDF-1.7 no picture at all", "isn't a photo"),
        (picture(1)[:400], "damaged or cut off"),
    ],
)
def test_what_is_no_picture_is_said_and_changes_nothing(
    phone: Phone, card: Locator, content: bytes, sentence: str
) -> None:
    phone.add_photo(card, content)
    expect(card.get_by_role("alert")).to_contain_text(sentence)
    assert phone.cards() == []


def test_a_heic_picture_travels_as_it_is_where_the_browser_cannot_open_it(
    phone: Phone, card: Locator
) -> None:
    heic = (Path(__file__).parents[3] / "log/photos/fixtures/drawn.heic").read_bytes()
    phone.add_photo(card, heic, "IMG_2.heic")
    expect(card.locator(".photo")).to_have_count(1)
    phone.wait_for_sync("server")
    ((_, served),) = stored(phone).items()
    assert Image.open(io.BytesIO(served)).format == "JPEG"


def test_drawing_on_a_photo_makes_a_new_one_and_leaves_the_original(
    phone: Phone, card: Locator
) -> None:
    phone.add_photo(card, picture(7))
    expect(card.locator(".photo img")).to_have_count(1)
    card.locator(".photo").first.tap()
    card.get_by_role("button", name="close-up").tap()
    expect(phone.status()).to_contain_text("close-up")
    card.get_by_role("button", name="Draw on it").tap()
    sheet = card.locator(".drawon canvas")
    expect(sheet).to_be_visible()
    box = place_of(sheet)
    page = phone.page
    for start, end in (((40, 40), (180, 120)), ((120, 90), (150, 110))):
        page.mouse.move(box["x"] + start[0], box["y"] + start[1])
        page.mouse.down()
        page.mouse.move(box["x"] + end[0], box["y"] + end[1])
        page.mouse.up()
        card.get_by_role("button", name="Circle").tap()
    card.get_by_role("button", name="Save as a new photo").tap()
    expect(card.locator(".photo")).to_have_count(2)
    captions = [event["value"]["caption"] for event in phone.events() if "/photos/" in event["put"]]
    assert captions[-1] == {"term": "chip-photo-close"}  # said to each reader


def test_a_photo_can_be_taken_back_and_the_taking_back_undone(phone: Phone, card: Locator) -> None:
    phone.add_photo(card, picture(8))
    card.locator(".photo").first.tap()
    card.get_by_role("button", name="Remove photo").tap()
    expect(card.locator(".photo")).to_have_count(0)
    phone.page.get_by_role("button", name="Undo").tap()
    expect(card.locator(".photo img")).to_have_count(1)
