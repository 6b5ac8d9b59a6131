"""A partner is told by the phone's own share sheet, and the decision is read aloud."""

from __future__ import annotations

import base64
import io
import re
from typing import Any

from PIL import Image
from playwright.sync_api import expect

from tests.phone.phone import Phone, picture

#: What a share sheet is handed, kept for the test; `takes` says whether it takes files.
SHARE = """
(takes) => {
  window.handed = [];
  const stand = (name, value) =>
    Object.defineProperty(navigator, name, { value, configurable: true });
  stand("canShare", () => takes);
  stand("share", async ({ text, files = [] }) => {
    const read = async (file) => {
      const bytes = new Uint8Array(await file.arrayBuffer());
      const letters = Array.from(bytes, (one) => String.fromCharCode(one));
      return [file.name, file.type, btoa(letters.join(""))];
    };
    window.handed.push({ text, files: await Promise.all(files.map(read)) });
  });
}
"""
#: A phone with one voice of its own; what it is asked to say.
VOICE = """
() => {
  window.heard = [];
  const stand = (name, value) => Object.defineProperty(window, name, { value, configurable: true });
  stand("SpeechSynthesisUtterance", class { constructor(text) { this.text = text; } });
  const said = (what) => () => window.heard.push(what);
  stand("speechSynthesis", {
    getVoices: () => [{ lang: "en-US", localService: true, name: "Own" }],
    speak: (one) => { window.heard.push(one.text); window.last = one; },
    cancel: said("(cancel)"), pause: said("(pause)"), resume: said("(resume)"),
  });
}
"""


def _with_gps(seed: int) -> bytes:
    """A photo of a camera that notes where it was, larger than a message takes."""
    exif = Image.Exif()
    exif[0x010F] = "Camera"  # maker
    exif.get_ifd(0x8825).update({1: "N", 2: (48.0, 12.0, 0.0), 3: "E", 4: (16.0, 22.0, 0.0)})
    made = picture(seed, (2400, 1800), exif=exif.tobytes())
    assert Image.open(io.BytesIO(made)).getexif().get_ifd(0x8825)
    return made


def _handed(phone: Phone) -> list[dict[str, Any]]:
    phone.wait_until(lambda: phone.page.evaluate("window.handed.length") > 0)
    handed: list[dict[str, Any]] = phone.page.evaluate("window.handed.splice(0)")
    return handed


def test_a_partner_gets_one_paragraph_and_photos_by_the_share_sheet(phone: Phone) -> None:
    phone.begin(make="Tarn", asking_price="2400")
    page = phone.page
    card = phone.card("rodents.battery-lead")
    card.get_by_role("button", name=re.compile("^Bare")).first.tap()
    expect(card).not_to_have_attribute("data-grade", "open")
    phone.add_photo(card, _with_gps(1))
    expect(card.locator(".photo-list img")).to_have_count(1)
    phone.go("kerb")
    expect(page.locator(".four-answers")).to_contain_text("Trailer it.")
    page.evaluate(SHARE, True)
    page.get_by_role("link", name="Tell a partner").tap()
    out = page.get_by_role("region", name="This goes out")
    said = out.locator("blockquote")
    expect(said).to_contain_text("Tarn: ")
    expect(said).to_contain_text("Trailer it. ")
    expect(said).to_contain_text(re.compile(r"Unsafe: Battery cables.*\. .*checks done: "))
    expect(said).to_contain_text("what somebody said is not")
    # without money first, and then none stands there
    assert not re.search(r"€|\$|2[,.]?400", said.inner_text())
    expect(out.locator("img")).to_have_count(1)
    page.get_by_role("button", name="Send…").tap()
    (handed,) = _handed(phone)
    # what stood on the screen went out, to the letter
    assert handed["text"] == said.inner_text()
    ((name, kind, content),) = handed["files"]
    assert (name, kind) == ("photo-1.jpg", "image/jpeg")
    shown = Image.open(io.BytesIO(base64.b64decode(content)))
    assert shown.format == "JPEG"
    assert max(shown.size) == 1280
    assert not shown.getexif()
    assert "exif" not in shown.info
    # with money, and the photo left out
    page.get_by_role("button", name="With money", exact=True).tap()
    expect(said).to_contain_text("€2,400")
    expect(said).to_contain_text(re.compile(r"Reasons to pay less: .*; together €[\d,]+\."))
    page.get_by_role("button", name="Leave out 1").tap()
    expect(out.locator("blockquote ~ ul img")).to_have_count(0)
    expect(page.locator("summary", has_text="1 more photo")).to_be_visible()
    page.get_by_role("button", name="Send…").tap()
    (handed,) = _handed(phone)
    assert (handed["text"], handed["files"]) == (said.inner_text(), [])
    # a phone whose sheet takes no files: by hand
    page.evaluate(SHARE, False)
    page.locator("summary", has_text="1 more photo").tap()
    page.get_by_role("button", name="Add 1").tap()
    by_hand = page.get_by_role("region", name="By hand")
    expect(by_hand.get_by_role("button", name="Copy the text")).to_be_visible()
    with page.expect_download() as saved:
        by_hand.get_by_role("link", name="Save photo 1").tap()
    assert saved.value.suggested_filename == "photo-1.jpg"


def test_the_decision_is_read_aloud_by_a_voice_of_the_phone_and_stops(phone: Phone) -> None:
    phone.begin(make="Tarn", asking_price="2400")
    page = phone.page
    card = phone.card("rodents.battery-lead")
    card.get_by_role("button", name=re.compile("^Bare")).first.tap()
    expect(card).not_to_have_attribute("data-grade", "open")
    # a phone without a voice of its own has no button
    phone.go("kerb")
    counting = page.get_by_role("region", name="What counts")
    expect(counting).to_be_visible()
    if page.evaluate("speechSynthesis.getVoices().length") == 0:
        expect(page.get_by_role("button", name="Read it to me")).to_have_count(0)
    phone.go("")
    page.evaluate(VOICE)
    phone.go("kerb")
    expect(page.locator(".four-answers")).to_contain_text("Trailer it.")
    page.get_by_role("button", name="Read it to me").tap()
    heard = page.evaluate("window.heard.splice(0)")
    assert heard[1:4:2] == ["Buy it?", "Drive it?"]
    assert heard[4].startswith("Trailer it.")
    first = counting.locator("li").first.inner_text()
    assert heard[heard.index("What counts") + 1] == first
    # and a screen reader meets the same order: verdict, what counts
    titles = page.locator("main h2").all_inner_texts()
    assert titles.index("What counts") < titles.index("Reasons to pay less")
    page.get_by_role("button", name="Pause").tap()
    page.get_by_role("button", name="Go on").tap()
    page.get_by_role("button", name="Pause").tap()
    page.get_by_role("button", name="Stop").tap()
    assert page.evaluate("window.heard.splice(0)") == ["(pause)", "(resume)", "(pause)", "(cancel)"]
    expect(page.get_by_role("button", name="Read it to me")).to_be_visible()
