"""Voice notes and engine sounds: asked once, safe by the second, sent, played at the desk.

The microphone is Chromium's fake device, which beeps; what was stored is read back with the
decoder of Web Audio, which is not the app's own.
"""

from __future__ import annotations

import re
from typing import Any

from playwright.sync_api import Locator, expect

from tests.phone.capture.test_photos_and_notes import opened, shoot, standing
from tests.phone.phone import Phone, picture
from tests.phone.server import Server

#: What is left of every recording that was begun and not yet kept, and how many pieces there are.
_PIECES = """
async () => {
  const open = await new Promise((resolve) => {
    const request = indexedDB.open("bradawl");
    request.onsuccess = () => resolve(request.result);
  });
  const all = (store) => new Promise((resolve) => {
    const request = open.transaction(store).objectStore(store).getAll();
    request.onsuccess = () => resolve(request.result);
  });
  const pieces = await all("pieces");
  const takes = await all("takes");
  open.close();
  return { takes: takes.length, until_ms: pieces.map((piece) => piece.until_ms) };
}
"""
#: How many seconds of a stored recording decode, and how loud it gets.
DECODED = """
async (name) => {
  const open = await new Promise((resolve) => {
    const request = indexedDB.open("bradawl");
    request.onsuccess = () => resolve(request.result);
  });
  const row = await new Promise((resolve) => {
    const request = open.transaction("photos").objectStore("photos").get(name);
    request.onsuccess = () => resolve(request.result);
  });
  open.close();
  const sound = await new OfflineAudioContext(1, 1, 48000).decodeAudioData(row.bytes.slice(0));
  const loudest = sound.getChannelData(0).reduce((most, one) => Math.max(most, Math.abs(one)), 0);
  return { seconds: sound.duration, loudest, type: row.type };
}
"""


def begun(phone: Phone, kind: str) -> Locator:
    """The sheet with a recording under way, in a visit in which nobody was asked yet."""
    sheet = opened(phone)
    sheet.get_by_role("button", name=kind).tap()
    expect(sheet.get_by_role("heading", name="Who will be heard?")).to_be_visible()
    sheet.get_by_role("button", name="Everyone here agrees").tap()
    expect(sheet.locator("[data-recording]")).to_be_visible()
    return sheet


def pieces(phone: Phone) -> dict[str, Any]:
    found: dict[str, Any] = phone.page.evaluate(_PIECES)
    return found


def names(phone: Phone) -> set[str]:
    """What this phone keeps of photos and recordings, by their hashes."""
    return {str(card["sha256"]) for card in phone.cards()}


def recorded(phone: Phone) -> tuple[str, dict[str, Any]]:
    """The one recording of the visit: its hash and what is told of it."""
    ((put, value),) = standing(phone, "media/").items()
    assert isinstance(value, dict)
    return put.removeprefix("media/"), value


def test_nobody_is_recorded_before_the_question_and_it_is_asked_once(phone: Phone) -> None:
    phone.begin(make="Tarn")
    sheet = opened(phone)
    sheet.get_by_role("button", name="Voice note").tap()
    # 18 U.S.C. 2511(2)(d) lets one party consent; some states want everybody's (from memory)
    expect(sheet.locator(".caution")).to_contain_text("only if everyone in it agrees")
    expect(sheet.locator(".caution")).to_contain_text("your state's law decides")
    sheet.get_by_role("button", name="Don't record").tap()
    assert standing(phone, "media/") == {}
    assert standing(phone, "about/voice") == {}
    sheet.get_by_role("button", name="Voice note").tap()
    sheet.get_by_role("button", name="Only I will be heard").tap()
    sheet.get_by_role("button", name="Cancel, keep nothing").tap()
    expect(sheet.get_by_role("button", name="Engine sound")).to_be_visible()
    assert standing(phone, "about/voice") == {"about/voice": "alone"}
    sheet.get_by_role("button", name="Engine sound").tap()
    expect(sheet.locator("[data-recording=engine]")).to_be_visible()  # asked no more
    sheet.get_by_role("button", name="Cancel, keep nothing").tap()


def test_an_engine_sound_has_its_level_in_sight_and_is_heard_again(phone: Phone) -> None:
    phone.begin(make="Tarn")
    phone.card("rust.arches")
    sheet = begun(phone, "Engine sound")
    meter = sheet.get_by_role("meter", name="Loudness")
    # the fake microphone beeps once a second: no beep falls between two looks
    phone.wait_until(lambda: float(meter.get_attribute("data-peak") or 0) > 0.05)
    phone.wait_until(lambda: len(pieces(phone)["until_ms"]) >= 2)
    sheet.get_by_role("button", name="Stop and save").tap()
    player = sheet.locator("audio")
    expect(player).to_have_attribute("src", re.compile("^blob:"))
    played = player.evaluate(
        """async (sound) => {
          sound.muted = true;
          await sound.play();
          await new Promise((resolve) => sound.addEventListener("timeupdate", resolve));
          return sound.error === null;
        }"""
    )
    assert played  # the content policy lets the page play from memory
    name, value = recorded(phone)
    assert (value["kind"], value["type"]) == ("engine", "audio/webm")
    assert value["near"]["item"] == "rust.arches"
    decoded = phone.page.evaluate(DECODED, name)
    assert decoded["loudest"] > 0.05
    assert abs(decoded["seconds"] - value["length_ms"] / 1000) < 1
    assert pieces(phone) == {"takes": 0, "until_ms": []}


def test_an_engine_is_recorded_without_processing_and_a_voice_with(phone: Phone) -> None:
    """W3C Media Capture and Streams: the three constraints that change what is heard."""
    phone.begin(make="Tarn")
    phone.page.evaluate(
        """() => {
          globalThis.asked = [];
          const of = navigator.mediaDevices;
          const before = of.getUserMedia.bind(of);
          of.getUserMedia = (wanted) => { asked.push(wanted.audio); return before(wanted); };
        }"""
    )
    sheet = begun(phone, "Engine sound")
    sheet.get_by_role("button", name="Cancel, keep nothing").tap()
    sheet.get_by_role("button", name="Voice note").tap()
    expect(sheet.locator("[data-recording=voice]")).to_be_visible()
    sheet.get_by_role("button", name="Cancel, keep nothing").tap()
    names = ("echoCancellation", "noiseSuppression", "autoGainControl")
    asked = phone.page.evaluate("asked")
    assert [[one[name] for name in names] for one in asked] == [[False] * 3, [True] * 3]
    phone.page.reload()  # into a page with the browser's own functions


def test_what_was_captured_without_a_network_outlives_the_page_and_is_sent(
    server: Server, phone: Phone
) -> None:
    """A photo and a note that were kept, and a recording in the middle of which the page dies."""
    phone.begin(make="Tarn")
    phone.wait_for_sync("server")
    phone.wait_for_worker()
    server.kill()
    phone.reopen()
    phone.go("stage/outside")
    sheet = opened(phone)  # its parts were taken along
    shoot(sheet, picture(5))
    expect(sheet.locator('[data-kept="1"]')).to_have_count(1)
    sheet.get_by_role("button", name="Note", exact=True).tap()
    sheet.get_by_label("Note").fill("Ask for the jack")
    sheet.get_by_role("button", name="Save the note").tap()
    expect(phone.status()).to_contain_text("Note saved")
    sheet.get_by_role("button", name="Close", exact=True).tap()
    phone.card("rust.arches")
    begun(phone, "Voice note")
    phone.wait_until(lambda: len(pieces(phone)["until_ms"]) >= 2)
    phone.crash()
    phone.open()
    phone.wait_until(lambda: pieces(phone)["takes"] == 0)
    phone.go("sort")
    expect(phone.page.locator("[data-captured]")).to_have_count(3)
    kinds = {value["kind"]: put for put, value in standing(phone, "media/").items()}  # type: ignore[index]
    assert set(kinds) == {"photo", "voice"}
    server.start()
    phone.page.reload()
    phone.wait_for_sync("server")
    name = kinds["voice"].removeprefix("media/")
    answer = phone.context.request.get(f"{phone.origin}/desk/recordings/{name}")
    assert answer.headers["content-type"] == "audio/webm"
    desk = phone.context.new_page()
    desk.goto(f"{phone.origin}/desk/visits/{phone.visit}/photos")
    expect(desk.locator("#not-sorted")).to_contain_text("Not sorted: 3")
    expect(desk.locator(".to-sort")).to_contain_text("Ask for the jack")
    desk.close()


def test_a_recording_is_put_with_its_check_and_plays_at_the_desk(phone: Phone) -> None:
    before = names(phone)
    phone.begin(make="Tarn")
    phone.card("rust.arches")
    sheet = begun(phone, "Engine sound")
    phone.wait_until(lambda: len(pieces(phone)["until_ms"]) >= 2)
    sheet.get_by_role("button", name="Stop and save").tap()
    sheet.get_by_role("button", name="Done").tap()
    sheet.get_by_role("link", name="To sort: 1").tap()
    entry = phone.page.locator("[data-captured]")
    expect(entry.locator("audio")).to_be_visible()
    entry.get_by_role("button", name=re.compile("^Put with: ")).tap()
    expect(entry).to_have_count(0)
    expect(phone.page.locator("[data-sound]")).to_have_count(1)
    name, value = recorded(phone)
    assert value["item"] == "rust.arches"
    # on its card it is heard too
    card = phone.card("rust.arches")
    expect(card.locator("[data-sound] audio")).to_be_visible()
    phone.wait_for_sync("server")
    desk = phone.context.new_page()
    desk.goto(f"{phone.origin}/desk/visits/{phone.visit}/photos")
    player = desk.locator(f'audio[src="/desk/recordings/{name}"]')
    expect(player).to_be_visible()
    assert player.evaluate(
        """async (sound) => {
          sound.muted = true;
          await sound.play();
          await new Promise((resolve) => sound.addEventListener("timeupdate", resolve));
          return sound.error === null;
        }"""
    )
    # deleted on its card, it is gone from the phone at once and from the desk's lists with the sync
    card.get_by_role("button", name="Delete recording").tap()
    card.get_by_role("button", name="Yes, delete it").tap()
    expect(card.locator("[data-sound]")).to_have_count(0)
    assert names(phone) == before
    phone.wait_for_sync("server")
    desk.reload()
    expect(desk.locator("h1")).to_be_visible()
    expect(desk.locator("audio")).to_have_count(0)
    desk.close()


def test_a_voice_note_of_a_check_is_two_taps_on_its_card(phone: Phone) -> None:
    phone.begin(make="Tarn")
    card = phone.card("rust.arches")
    card.get_by_role("button", name="Rusted through", exact=True).tap()
    card.get_by_role("button", name="Voice note").tap()
    sheet = phone.page.locator("dialog.modal")
    sheet.get_by_role("button", name="Everyone here agrees").tap()  # asked once in a visit
    expect(sheet.locator("[data-recording=voice]")).to_be_visible()
    phone.wait_until(lambda: len(pieces(phone)["until_ms"]) >= 1)
    sheet.get_by_role("button", name="Stop and save").tap()
    expect(sheet).to_have_count(0)
    expect(card.locator("[data-sound] audio")).to_be_visible()
    assert recorded(phone)[1]["item"] == "rust.arches"


def test_a_recording_is_deleted_with_its_bytes(phone: Phone) -> None:
    before = names(phone)
    phone.begin(make="Tarn")
    sheet = begun(phone, "Voice note")
    phone.wait_until(lambda: len(pieces(phone)["until_ms"]) >= 1)
    sheet.get_by_role("button", name="Stop and save").tap()
    expect(sheet.locator("audio")).to_be_visible()
    assert len(names(phone)) == len(before) + 1
    sheet.get_by_role("button", name="Delete recording").tap()
    sheet.get_by_role("button", name="Yes, delete it").tap()
    expect(sheet.get_by_role("button", name="Engine sound")).to_be_visible()
    assert names(phone) == before
    assert standing(phone, "media/") == {}


def test_who_leaves_a_recording_has_what_was_recorded(phone: Phone) -> None:
    phone.begin(make="Tarn")
    begun(phone, "Voice note")
    phone.wait_until(lambda: len(pieces(phone)["until_ms"]) >= 1)
    phone.page.keyboard.press("Escape")
    expect(phone.status()).to_contain_text("Recording saved on this phone.")
    assert recorded(phone)[1]["kind"] == "voice"


def test_without_a_microphone_it_says_so(phone: Phone) -> None:
    phone.begin(make="Tarn")
    phone.page.evaluate(
        """() => {
          navigator.mediaDevices.getUserMedia = async () => {
            throw new DOMException("no", "NotAllowedError");
          };
        }"""
    )
    sheet = opened(phone)
    sheet.get_by_role("button", name="Engine sound").tap()
    sheet.get_by_role("button", name="Only I will be heard").tap()
    expect(sheet.get_by_role("alert")).to_contain_text("No microphone.")
    sheet.get_by_role("button", name="Back").tap()
    expect(sheet.get_by_role("button", name="Engine sound")).to_be_visible()
    phone.page.reload()


def test_an_engine_sound_ends_by_itself_after_thirty_seconds(phone: Phone) -> None:
    phone.begin(make="Tarn")
    # the page's own clock runs twenty times as fast; the microphone's does not
    phone.page.evaluate(
        """() => {
          const real = performance.now.bind(performance);
          const begin = real();
          performance.now = () => begin + (real() - begin) * 20;
        }"""
    )
    sheet = begun(phone, "Engine sound")
    expect(sheet.locator("audio")).to_be_visible()
    assert recorded(phone)[1]["length_ms"] >= 30_000
    phone.page.reload()
