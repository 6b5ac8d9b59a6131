"""The same app in the engine of the iPhone: a visit with a photo, the server gone, all of it there.

WebKitGTK has WebKit's storage, service worker and WebAssembly as Safari has them, but not Safari's
limits: its eviction after seven days and its small memory are not to be had here.
"""

from __future__ import annotations

import ipaddress
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from bradawl.access.authority.lifecycle import open_authority, server_files
from bradawl.access.authority.names import Place
from tests.phone.phone import picture
from tests.phone.server import Server
from tests.phone.tunnel import tunnel
from tests.phone.webkit import Webkit, webkit

WEB = Path(__file__).parents[3] / "web" / "src"
CARD = "//article[@data-item='rust.arches']"


@pytest.fixture
def origin(server: Server, tmp_path: Path) -> Iterator[str]:
    """The server over https: WebKit keeps no Secure cookie from http, not even from localhost."""
    place = Place(("shop.local",), (ipaddress.ip_address("127.0.0.1"),))
    files = server_files(tmp_path / "tls", open_authority(tmp_path / "tls", place), place)
    with tunnel(server.port, files) as origin:
        yield origin


@pytest.fixture
def window(tmp_path: Path) -> Iterator[Webkit]:
    with webkit(tmp_path) as window:
        yield window


def button(text: str, within: str = "") -> str:
    return f"{within}//button[normalize-space()='{text}']"


def synced(state: str) -> str:
    return f"//a[contains(@class, 'sync')][@data-state='{state}']"


def test_webkit_records_judges_and_keeps_a_visit_with_the_server_gone(
    window: Webkit, server: Server, origin: str, tmp_path: Path
) -> None:
    window.open(f"{origin}/app/")
    window.find(synced("server"))
    window.run("return navigator.serviceWorker.ready.then(() => true)")
    # the first version that a browser takes along is no renewal
    assert "A new version" not in window.text()
    window.tap("//button[@data-region='us']")
    window.tap(button("Start a car"))
    window.type("#car-make", "Tarn")
    window.find("//*[@role='status'][contains(., 'Tarn')]")
    visit = str(window.run("return location.hash.split('/')[2]"))
    window.find(synced("server"))

    server.kill()
    window.reload()
    window.open(f"{origin}/app/#/visit/{visit}/area/rust/rust.arches")
    window.tap(button("Rusted through", CARD))
    window.find(f"{CARD}[@data-grade='major']")
    window.find(f"{CARD}//*[@class='reasons']/p")
    photo = tmp_path / "IMG_1.jpg"
    photo.write_bytes(picture(1, (2000, 1500)))
    window.type(f"{CARD}//input[@type='file'][@multiple]", str(photo))
    window.find(f"{CARD}//*[@class='photo']/img")
    window.find(synced("phone"))

    window.open("about:blank")
    window.open(f"{origin}/app/#/visit/{visit}/area/rust/rust.arches")
    window.find(f"{CARD}[@data-grade='major']//*[@class='photo']/img")
    window.find(button("Rusted through", CARD) + "[@aria-pressed='true']")
    assert window.run(_BLOBS) == []

    server.start()
    window.tap("a.sync")
    window.tap(button("Send now"))
    window.find(synced("server") + "[@data-unsent='0']")
    held = window.run(_CARDS)
    assert [card["held"] for card in held] == [1]
    # prepared by WebKit's own worker: made small, as everywhere
    assert window.run(_SIZE, held[0]["sha256"]) == [1600, 1200]


def test_nothing_is_used_that_webkit_on_a_phone_lacks() -> None:
    """caniuse.com (from memory): Background Sync, vibration, image capture, file system pickers."""
    lacking = re.compile(
        r"\bvibrate\b|SyncManager|\.sync\.register|periodicSync|ImageCapture|"
        r"show(Open|Save)FilePicker|getInstalledRelatedApps|requestIdleCallback|navigator\.connection"
    )
    found = {
        str(path.relative_to(WEB)): match.group()
        for path in WEB.rglob("*.ts*")
        for text in [path.read_text()]
        for match in [lacking.search(text)]
        # whoever asks first whether it is there goes on without it
        if match and f'typeof {match.group()} !== "function"' not in text
    }
    assert found == {}


_SIZE = """
const blob = await (await fetch(`/api/v1/blobs/${arguments[0]}`)).blob();
const { width, height } = await createImageBitmap(blob);
return [width, height];
"""

_ROWS = """
const open = await new Promise((resolve, reject) => {
  const request = indexedDB.open("bradawl");
  request.onsuccess = () => resolve(request.result);
  request.onerror = () => reject(request.error);
});
const all = (store) => new Promise((resolve, reject) => {
  const request = open.transaction(store).objectStore(store).getAll();
  request.onsuccess = () => resolve(request.result);
  request.onerror = () => reject(request.error);
});
"""

_CARDS = f"{_ROWS} return (await all('cards')).map(({{ thumb, ...rest }}) => rest);"

# stores in which a Blob lies, however deep: WebKit has lost Blobs kept in IndexedDB
_BLOBS = f"""
{_ROWS}
const holds = (value) =>
  value instanceof Blob ||
  (typeof value === "object" && value !== null && !(value instanceof ArrayBuffer) &&
    Object.values(value).some(holds));
const found = [];
for (const store of open.objectStoreNames) if ((await all(store)).some(holds)) found.push(store);
return found;
"""
