"""The whole story, with nothing faked: a phone with no signal to a signed PDF.

A real Chromium (Debian's package) at 390x844, a real server process that is killed and started
again, real storage, a real signature checked by poppler's `pdfsig` as the second tool.
"""

from __future__ import annotations

import io
import json
import os
import re
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from PIL import Image, ImageDraw
from playwright.sync_api import BrowserContext, Locator, Page, Playwright, expect, sync_playwright

from tests.browsing import ARGUMENTS, CHROMIUM, PATIENCE_MS, STILL, look_at_cars, patient, place_of
from tests.checkout import checklist_bundle
from tests.phone.phone import is_judged
from tests.phone.server import Server

# One finding in each of the six areas that a report opens with: item, then what is tapped there.
FINDINGS = {
    "rust.sills": {"choice": "soft"},
    "accident.gaps": {"grade": "Minor"},
    "bushings.steering-rack": {"choice": "slides"},
    "brakes.front-pads": {"readings": {"front-left": "2,5", "front-right": "6"}},
    "rodents.battery-lead": {"choice": "bare"},
    "fluids.fuel-leak": {"choice": "damp"},
}
NOTE = "Prüfer: weich über dem heber, προσοχή, осторожно"


@pytest.fixture
def server(tmp_path: Path) -> Iterator[Server]:
    server = Server(tmp_path / "data")
    server.start()
    yield server
    server.kill()


class Phone:
    """One phone: the same storage however often the app is closed and opened."""

    def __init__(self, playwright: Playwright, folder: Path, origin: str) -> None:
        self._playwright = playwright
        self._folder = folder
        self._origin = origin
        self.context: BrowserContext | None = None

    def open(self) -> Page:
        self.context = self._playwright.chromium.launch_persistent_context(
            str(self._folder),
            viewport={"width": 390, "height": 844},
            has_touch=True,
            is_mobile=True,
            executable_path=CHROMIUM,
            args=[*ARGUMENTS],
            **STILL,
        )
        patient(self.context)
        page = self.context.pages[0] if self.context.pages else self.context.new_page()
        page.goto(f"{self._origin}/app/")
        return page

    def close(self) -> None:
        if self.context is not None:
            self.context.close()
            self.context = None


@pytest.fixture
def phone(tmp_path: Path, server: Server) -> Iterator[Phone]:
    with sync_playwright() as playwright:
        phone = Phone(playwright, tmp_path / "phone", server.origin)
        yield phone
        phone.close()


def drawn_jpeg(number: int) -> bytes:
    """A picture as a camera would hand it over: large, on its side by EXIF, with a place in it."""
    picture = Image.new("RGB", (2400, 1800), (70 + number * 20, 90, 110))
    ImageDraw.Draw(picture).ellipse((300, 300, 900 + number, 900), fill=(150, 70, 30))
    exif = Image.Exif()
    exif[0x0112] = 6  # orientation: turn by 90 degrees
    exif.get_ifd(0x8825).update({1: "N", 2: (48.0, 12.0, 0.0), 3: "E", 4: (16.0, 22.0, 0.0)})
    out = io.BytesIO()
    picture.save(out, "JPEG", quality=85, exif=exif)
    return out.getvalue()


def wait_until_paired(page: Page, origin: str) -> None:
    deadline = time.monotonic() + PATIENCE_MS / 1000
    while not page.request.get(f"{origin}/api/v1/me").ok:
        assert time.monotonic() < deadline, "the phone was not paired"
        page.wait_for_timeout(100)


def wait_until_judged(page: Page, visit: str) -> None:
    """Until the judge has seen the latest entry: it says how many items are open."""
    deadline = time.monotonic() + PATIENCE_MS / 1000
    while not is_judged(page, visit):
        assert time.monotonic() < deadline, "the visit was not judged"
        page.wait_for_timeout(100)


def begin_a_visit(page: Page) -> None:
    look_at_cars(page, "eu")
    page.get_by_role("button", name="Start a car").tap()
    page.get_by_label("Make").fill("Nuthatch")
    page.get_by_label("Model").fill("Towhee 2")
    page.get_by_label("Year", exact=True).fill("1992")
    page.get_by_role("link", name="More about this car").tap()
    page.get_by_label("Your name").fill("Ada Prüferin")
    for group, answer in (
        ("Fuel", "Gas"),
        ("Front brakes", "Disc"),
        ("Frame", "Unibody"),
        ("Steering", "Rack"),
    ):
        label = page.get_by_role("group", name=re.compile(group, re.I))
        label.get_by_role("button", name=re.compile(answer, re.I)).first.tap()


def find(page: Page, item: str) -> Locator:
    """The card of an item, reached as a person reaches it: the list of areas, then the area."""
    area = item.partition(".")[0]
    if not page.locator("[data-area]").count():
        page.locator("a.back").tap()
    page.locator(f'[data-area="{area}"]').tap()
    card = page.locator(f'[data-item="{item}"]')
    expect(card).to_be_visible()
    name = card.locator(".item-name")  # a row's, which opens the card
    if name.count():
        name.tap()
    return card


def record(page: Page, item: str, answers: dict[str, object], titles: dict[str, str]) -> None:
    card = find(page, item)
    if "choice" in answers:
        title = titles[f"{item}/{answers['choice']}"]
        card.get_by_role("button", name=title, exact=True).tap()
    if "grade" in answers:
        card.get_by_role("button", name=str(answers["grade"]), exact=True).tap()
    readings = answers.get("readings")
    if isinstance(readings, dict):
        for place, typed in readings.items():
            field = card.get_by_role("textbox", name=re.compile(place.replace("-", ".?"), re.I))
            field.fill(typed)
            field.blur()
    expect(card).not_to_have_attribute("data-grade", "open")


def take_photo(page: Page, item: str, number: int) -> None:
    card = page.locator(f'[data-item="{item}"]')
    card.locator('input[type="file"]').last.set_input_files(
        {"name": f"IMG_{number}.jpg", "mimeType": "image/jpeg", "buffer": drawn_jpeg(number)}
    )
    expect(card.locator(".photo-list img")).to_have_count(1)


def sign_with_a_finger(page: Page) -> None:
    page.get_by_text("Sign with a finger too").tap()
    page.get_by_label("Where you are").fill("Hof hinter der Mühle")
    canvas = page.locator(".signature canvas")
    canvas.scroll_into_view_if_needed()
    box = place_of(canvas)
    page.mouse.move(box["x"] + 30, box["y"] + 80)
    page.mouse.down()
    for step in range(12):
        page.mouse.move(box["x"] + 30 + step * 20, box["y"] + 80 - (step % 3) * 25)
    page.mouse.up()


def test_a_visit_made_with_no_signal_becomes_a_signed_report(
    server: Server, phone: Phone, tmp_path: Path
) -> None:
    items = checklist_bundle()["items"]
    titles = {
        f"{item['id']}/{choice['id']}": choice["title"]
        for item in items
        for choice in item.get("choices", [])
    }

    # With the server in reach: the app is opened once, paired, and takes all it needs along.
    page = phone.open()
    # On the server's own machine pairing needs nobody's approval: it happens by itself.
    wait_until_paired(page, server.origin)
    expect(page.locator("a.sync")).to_have_attribute("data-state", "server")
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    page.goto(f"{server.origin}/app/#/")
    begin_a_visit(page)
    visit = re.search(r"visit/([0-9a-f]{32})", page.url)
    assert visit is not None

    # No signal: the server is gone, the app is closed and opened again.
    server.kill()
    phone.close()
    page = phone.open()
    expect(page.get_by_label("Make")).to_have_value("Nuthatch")
    page.goto(f"{server.origin}/app/#/visit/{visit[1]}")

    for number, (item, answers) in enumerate(FINDINGS.items()):
        record(page, item, answers, titles)
        take_photo(page, item, number)
    first = find(page, "rust.sills")
    first.get_by_role("button", name=re.compile("^Note, photo")).tap()
    note = first.get_by_label("Note")
    note.fill(NOTE)
    note.blur()
    expect(page.locator("a.sync")).to_have_attribute("data-state", "phone")

    # Bad input is said and loses nothing: an impossible reading stays on the card.
    pads = find(page, "brakes.front-pads")
    wrong = pads.get_by_role("textbox", name=re.compile("front.?left", re.I))
    wrong.fill("900")
    wrong.blur()
    expect(pads.locator(".wrong")).to_be_visible()
    expect(wrong).to_have_value("900")
    wrong.fill("2,5")
    wrong.blur()
    expect(pads.locator(".wrong")).to_have_count(0)

    # The judge spoke on the phone, with no server: a bare live lead is nothing to drive with.
    page.goto(f"{server.origin}/app/#/visit/{visit[1]}/seal")
    wait_until_judged(page, visit[1])
    sign_with_a_finger(page)
    # many items have no answer: the screen says so, and so does the lock
    expect(page.locator("main")).to_contain_text(re.compile(r"\d+ checks have no answer"))
    page.get_by_role("button", name=re.compile("^Lock it")).tap()
    expect(page.locator(".sealed").first).to_contain_text("Ada Prüferin")
    phone.close()

    # Back in reach: everything goes over by itself, and the screen says so only then.
    page = phone.open()
    expect(page.locator("a.sync")).to_have_attribute("data-state", "phone")
    server.start()
    expect(page.locator("a.sync")).to_have_attribute("data-state", "server")
    expect(page.locator("a.sync")).to_have_attribute("data-unsent", "0")

    # The desk lists the visit.
    page.goto(f"{server.origin}/desk/")
    expect(page.locator(f'a[href*="{visit[1]}"]').first).to_contain_text("Towhee 2")

    # Its PDF: the six areas, readings, photos, the note in three scripts; two tools check it.
    pdf = tmp_path / "report.pdf"
    bradawl = [sys.executable, "-m", "bradawl.cli"]
    environment = {**os.environ, "BRADAWL_DATA": str(server.data)}
    subprocess.run([*bradawl, "report", visit[1], "-o", pdf], env=environment, check=True)
    text = re.sub(r"\s+", " ", output("pdftotext", "-layout", pdf, "-"))
    for title in ("Rust", "Crash signs", "Bushings", "Brakes", "rodents", "Fluids"):
        assert title in text
    assert "3.1/32 in (read as 2.5 mm)" in text  # 1 in = 25.4 mm (1959)
    assert NOTE in text
    assert "Ada Prüferin" in text
    photos = [line for line in output("pdfimages", "-list", pdf).splitlines() if " jpeg " in line]
    assert len(photos) == len(FINDINGS)
    pictures = tmp_path / "pictures"
    pictures.mkdir()
    subprocess.run(["pdfimages", "-all", pdf, pictures / "p"], check=True)
    jpegs = sorted(pictures.glob("*.jpg"))
    assert len(jpegs) == len(FINDINGS)
    for jpeg in jpegs:
        with Image.open(jpeg) as picture:
            assert not picture.getexif()  # no place, no camera

    store = tmp_path / "nss"
    store.mkdir()
    subprocess.run(["certutil", "-d", f"sql:{store}", "-N", "--empty-password"], check=True)
    assert "Signature is Valid" in output("pdfsig", "-nssdir", f"sql:{store}", pdf)
    verified = subprocess.run(
        [*bradawl, "verify", pdf], env=environment, check=False, capture_output=True, text=True
    )
    assert verified.returncode == 0, verified.stdout + verified.stderr

    # One changed byte, and both object.
    broken = tmp_path / "broken.pdf"
    changed = bytearray(pdf.read_bytes())
    changed[len(changed) // 2] ^= 1
    broken.write_bytes(bytes(changed))
    assert "Signature is Valid" not in output("pdfsig", "-nssdir", f"sql:{store}", broken)
    refused = subprocess.run(
        [*bradawl, "verify", broken], env=environment, check=False, capture_output=True, text=True
    )
    assert refused.returncode == 1

    # The seal holds over what the server received: same record, same photos.
    summary = page.request.get(f"{server.origin}/desk/visits/{visit[1]}").text()
    assert "Ada Prüferin" in summary
    assert sealed_record_holds(server.data, visit[1])


def sealed_record_holds(data: Path, visit: str) -> bool:
    script = (
        "import json, sys; from bradawl.serving.app import Bradawl; "
        "from bradawl.common.settings import from_environment; "
        "core = Bradawl(from_environment()); snapshot = core.snapshot(sys.argv[1]); "
        "print(json.dumps([[seal.holds, str(seal.problem or '')] for seal in snapshot.seals])); "
        "core.close()"
    )
    told = subprocess.run(
        [sys.executable, "-c", script, visit],
        env={**os.environ, "BRADAWL_DATA": str(data)},
        check=True,
        capture_output=True,
        text=True,
    )
    seals = json.loads(told.stdout)
    return bool(seals == [[True, ""]])


def output(*command: str | Path) -> str:
    return subprocess.run(command, check=False, capture_output=True, text=True).stdout
