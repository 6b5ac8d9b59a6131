"""A phone without any server: the app from a plain https host, its record handed over as a file.

The host is Python's own file server with a certificate of the test's own; engines are Chromium and
WebKit. The archive that leaves the phone is read with Python's zipfile (PKWARE APPNOTE).
"""

from __future__ import annotations

import base64
import hashlib
import io
import os
import re
import zipfile
from collections.abc import Iterator
from pathlib import Path

import httpx
import pytest
from playwright.sync_api import Locator, Page, expect

from bradawl.access.authority.lifecycle import ServerFiles
from tests import forked
from tests.browsing import launched
from tests.phone.alone.host import Host, certificate_in, hosted, key_hash
from tests.phone.phone import Phone, picture
from tests.phone.server import Server
from tests.phone.webkit import webkit

#: What has no meaning where there is no server.
SERVER = re.compile("[Pp]air this|shop computer|to send")

pytestmark = pytest.mark.new_phone


def written(server: Server, place: Path, *more: str) -> Path:
    """What `bradawl phone-app` writes over the server's data folder."""
    env = {**os.environ, "BRADAWL_DATA": str(server.data)}
    done = forked.run("phone-app", str(place), *more, env=env)
    assert done.returncode == 0, done.stderr
    assert "No real phone has been tried yet" in done.stdout
    return place


@pytest.fixture
def certificate(tmp_path: Path) -> ServerFiles:
    return certificate_in(tmp_path / "tls")


@pytest.fixture
def host(server: Server, certificate: ServerFiles, tmp_path: Path) -> Iterator[Host]:
    with hosted(written(server, tmp_path / "app"), certificate) as host:
        yield host


@pytest.fixture
def alone(host: Host, certificate: ServerFiles) -> Iterator[Phone]:
    trusted = f"--ignore-certificate-errors-spki-list={key_hash(certificate)}"
    with launched(trusted) as browser:
        phone = Phone(browser, host.origin, "us")
        yield phone
        phone.throw_away()


def doctored(data: bytes) -> bytes:
    """The same archive with another word in it, whose checksums fit again."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as whole, zipfile.ZipFile(out, "w") as other:
        for info in whole.infolist():
            other.writestr(info, whole.read(info).replace(b"Tarn", b"Moor"))
    return out.getvalue()


def _import(desk: Page, origin: str, name: str, data: bytes) -> Locator:
    desk.goto(f"{origin}/desk/import")
    desk.locator("#file").set_input_files(
        {"name": name, "mimeType": "application/zip", "buffer": data}
    )
    desk.locator("form:has(#file) button").first.click()
    return desk.locator("main")


def _made(phone: Phone) -> bytes:
    """The file that the screen makes and saves."""
    with phone.page.expect_download() as download:
        phone.page.get_by_role("link", name="Save it on this phone").tap()
    return download.value.path().read_bytes()


def test_a_phone_without_a_server_inspects_hands_over_and_is_paired_later(
    alone: Phone, host: Host, server: Server
) -> None:
    phone = alone
    phone.open()
    page = phone.page
    phone.wait_for_worker()
    line = page.locator("a.sync")
    expect(line).to_have_text("Saved on this phone")

    host.is_away = True
    page.reload()
    phone.begin(make="Tarn", model="Vale")
    card = phone.card("rust.arches")
    card.get_by_role("button", name="Rusted through", exact=True).tap()
    expect(card).to_have_attribute("data-grade", "major")
    phone.add_photo(card, picture(3))
    expect(card.locator(".photo img")).to_have_count(1)
    phone.go("seal")
    phone.wait_for_judge()
    page.get_by_label("Your name").fill("Ada Example")
    page.get_by_role("button", name=re.compile("^Lock it")).tap()
    expect(page.locator(".sealed").first).to_contain_text("Locked by Ada Example")
    phone.decide()
    expect(page.locator("main")).to_contain_text("Rusted through")

    # nobody is missed: no state of error, no pairing, nothing of a server
    for screen in ("", "seal", "kerb"):
        phone.go(screen)
        expect(page.locator("body")).not_to_contain_text(SERVER)
    page.goto(f"{host.origin}/app/#/guide")
    expect(page.get_by_role("heading", name="The line at the top")).to_be_visible()
    expect(page.locator("body")).not_to_contain_text(SERVER)
    expect(line).to_have_text("Saved on this phone")
    expect(line).to_have_attribute("data-state", "phone")
    line.tap()
    expect(page.get_by_role("heading", name="Saved on this phone")).to_be_visible()
    expect(page.locator("body")).not_to_contain_text(SERVER)
    page.get_by_role("link", name="Hand over as a file").tap()
    expect(page.locator("main")).to_contain_text(f"number: {phone.device()[:8]}")
    page.get_by_role("button", name="Make the file").tap()
    whole = _made(phone)
    with zipfile.ZipFile(io.BytesIO(whole)) as archive:
        assert archive.testzip() is None
        (photo,) = [name for name in archive.namelist() if name.startswith("photos/")]
        assert hashlib.sha256(archive.read(photo)).hexdigest() == photo[7:71]

    desk = phone.context.browser.new_page()  # type: ignore[union-attr]
    main = _import(desk, server.origin, "phone.zip", doctored(whole))
    expect(main).to_contain_text("was changed after the phone signed it")
    main = _import(desk, server.origin, "phone.zip", whole[: len(whole) // 2])
    expect(main).to_contain_text("cut short or damaged on its way. Nothing was imported")
    main = _import(desk, server.origin, "phone.zip", whole)
    expect(main).to_contain_text(f"key of Device {phone.device()[:8]}")
    expect(main).to_contain_text("Tarn Vale")
    desk.get_by_label("This phone is ours").check()
    desk.get_by_role("button", name="Import", exact=True).click()
    expect(main).to_contain_text(re.compile(r"\d+ entries and 1 photo imported"))
    desk.get_by_role("link", name="Open the car").click()
    expect(main).to_contain_text("Ada Example")
    expect(main).to_contain_text("Rusted through")
    expect(main).not_to_contain_text("unconfirmed")
    page.get_by_role("button", name="The desk has it").tap()
    expect(page.locator("main")).to_contain_text("No new photos since")
    entries = len(phone.log())

    # only files were ever asked for, and all were there
    assert {method for method, _, _ in host.asked} == {"GET"}
    assert [asked for asked in host.asked if asked[2] not in (200, 304)] == []

    # later a server of one's own answers at the same name: same key, same chain, nothing twice
    sent: list[str] = []
    phone.context.on("request", lambda request: sent.append(f"{request.method} {request.url}"))
    device = phone.device()
    host.behind, host.is_away = server.port, False
    page.goto(f"{host.origin}/app/#/")
    page.reload()
    page.get_by_role("button", name="Update now").tap()
    expect(page.locator("html:not([data-alone])")).to_have_count(1)
    phone.be_approved("a device whose entries are here")
    phone.wait_for_sync("server")
    assert phone.device() == device
    assert len([event for event in phone.log() if event["device"] == device]) == entries
    assert [one for one in sent if "/sync/push" in one or one.startswith("PUT")] == []
    assert any("/sync/pull" in one for one in sent)
    desk.close()


def test_webkit_works_from_a_folder_of_a_host_and_hands_over(
    server: Server, certificate: ServerFiles, tmp_path: Path
) -> None:
    (tmp_path / "host" / "tools").mkdir(parents=True)
    written(server, tmp_path / "host" / "tools" / "car", "--below", "tools/car")
    with hosted(tmp_path / "host", certificate) as host, webkit(tmp_path) as window:
        app = f"{host.origin}/tools/car/app/"
        window.open(f"{host.origin}/tools/car/")
        window.tap("//button[@data-region='us']")
        window.run("return navigator.serviceWorker.ready.then(() => true)")
        host.is_away = True
        window.open("about:blank")
        window.open(app)
        window.tap("//button[normalize-space()='Start a car']")
        window.type("#car-make", "Tarn")
        window.find("//*[@role='status'][contains(., 'Tarn')]")
        visit = str(window.run("return location.hash.split('/')[2]"))
        window.open(f"{app}#/visit/{visit}/area/rust/rust.arches")
        card = "//article[@data-item='rust.arches']"
        window.tap(f"{card}//button[normalize-space()='Rusted through']")
        window.find(f"{card}[@data-grade='major']//*[@class='reasons']/p")
        window.open(f"{app}#/visit/{visit}/seal")
        window.type("#lock-name", "Ada Example")
        window.tap("//button[starts-with(normalize-space(), 'Lock it')]")
        window.find("//*[@class='sealed'][contains(., 'Ada Example')]")
        window.run(_KEEP_FILE)
        window.open(f"{app}#/handover")
        window.tap("//button[normalize-space()='Make the file']")
        window.find("//a[normalize-space()='Save it on this phone']")
        data = base64.b64decode(str(window.run(_READ_FILE)))
        assert window.run("return document.querySelector('a.sync').dataset.state") == "phone"
        assert [asked for asked in host.asked if asked[2] not in (200, 301, 304)] == []

    with httpx.Client(base_url=server.origin, follow_redirects=True) as desk:
        shown = desk.post("/desk/import", files={"file": ("phone.zip", data)})
        assert "signed with the key of" in shown.text, shown.text
        taken = desk.post(f"{shown.url.path}/take", data={"ours": "true"})
        assert "imported from the phone" in taken.text
        page = desk.get(f"/desk/visits/{visit}").text
        assert "Tarn" in page
        assert "Ada Example" in page


#: What a page saves stays within WebKit's driver's reach: its bare browser asks where to put it.
_KEEP_FILE = """
const make = URL.createObjectURL.bind(URL);
URL.createObjectURL = (made) => {
  if (made.type === "application/zip") window.handedOver = made;
  return make(made);
};
"""
_READ_FILE = """
const bytes = new Uint8Array(await window.handedOver.arrayBuffer());
let text = "";
for (const byte of bytes) text += String.fromCharCode(byte);
return btoa(text);
"""
