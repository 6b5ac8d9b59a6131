"""A real server on a disk that is full or may only be read: everything can be read, and whatever
cannot be stored is refused in a sentence."""

from __future__ import annotations

import json
import sqlite3
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from bradawl.log.photos import photos
from tests.admin.disks import Disk, mounted
from tests.backup.data import PHONE, VISIT, Data, Phone, filled
from tests.phone.server import Server
from tests.writing import key_of, pairing_wish

BLUE, GREEN = key_of("blue"), key_of("green")


class Site:
    """A server on a small disk, and a phone that is paired with it."""

    def __init__(self, disk: Disk, log: Path) -> None:
        self.disk = disk
        self.data = Data(disk.place / "data")
        self.phone: Phone = filled(self.data, photos=2)
        self.server = Server(self.data.folder, log=log)
        self.server.start()
        answer = self.ask("/api/v1/pairing", pairing_wish(BLUE, "Blue"))
        assert answer == (200, {"state": "approved"})

    cookie = ""

    def ask(self, path: str, body: Any = None, **form: str) -> tuple[int, Any]:
        """Status and body of an answer: JSON where it is that, else text."""
        headers = {"Cookie": self.cookie, "Origin": self.server.origin}
        data = None
        if body is not None:
            data, headers["Content-Type"] = json.dumps(body).encode(), "application/json"
        if form:
            data = "&".join(f"{key}={value}" for key, value in form.items()).encode()
        request = urllib.request.Request(self.server.origin + path, data, headers)
        try:
            with urllib.request.urlopen(request, timeout=60) as answer:
                cookie = answer.headers.get("Set-Cookie", "").partition(";")[0]
                self.cookie = cookie or self.cookie
                return answer.status, _body(answer.headers["Content-Type"], answer.read())
        except urllib.error.HTTPError as refused:
            return refused.code, _body(refused.headers["Content-Type"], refused.read())

    def seen_long_ago(self) -> None:
        """So that the next request would note when the phone was last seen."""
        with closing(sqlite3.connect(self.data.database)) as database, database:
            database.execute("UPDATE access_device SET seen_ms = seen_ms - 3600000")


def _body(kind: str, body: bytes) -> Any:
    if kind == "application/json":
        return json.loads(body)
    return body if kind.startswith(("image/", "application/x-tar")) else body.decode()


pytestmark = pytest.mark.mounts


@pytest.fixture
def site(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Site]:
    monkeypatch.setattr(photos, "RESERVE_BYTES", 0)
    with mounted(tmp_path / "disk", "40m") as disk:
        made = Site(disk, tmp_path / "server.log")
        yield made
        made.server.kill()


def everything_can_be_read(site: Site) -> None:
    assert site.ask("/api/v1/me")[0] == 200
    # a phone that is further than the server would be noted as well
    have = {"ee" * 16: [9, "0" * 64]}
    status, pulled = site.ask("/api/v1/sync/pull", {"protocol": 2, "have": have})
    assert status == 200
    assert pulled["held"][PHONE] == len(site.phone.written)
    for page in ("/desk/", f"/desk/visits/{VISIT}", "/desk/devices", "/desk/keep", "/desk/audit"):
        assert site.ask(page)[0] == 200, page
    for sha256 in site.phone.photos:
        assert site.ask(f"/desk/photos/{sha256}")[0] == 200
    # and a backup is handed out, which is what somebody will want most now
    status, archive = site.ask("/desk/keep", anyway="yes")
    assert status == 200
    assert len(archive) > 10_000


def nothing_is_stored(site: Site, statuses: set[int]) -> None:
    status, answer = site.ask("/api/v1/pairing", pairing_wish(GREEN, "Green"))
    assert status in statuses
    assert answer["error"]["message"].endswith(".")
    status, page = site.ask("/desk/people", name="Bo", role="inspector")
    assert status in statuses
    assert "nothing was saved" in page


def test_on_a_full_disk_everything_can_be_read(site: Site) -> None:
    site.seen_long_ago()
    site.disk.fill()
    everything_can_be_read(site)
    nothing_is_stored(site, {507})
    site.disk.empty()
    assert site.ask("/api/v1/pairing", pairing_wish(GREEN, "Green"))[0] == 200


def test_a_server_that_is_started_on_a_full_disk_can_be_read_until_there_is_room(
    site: Site,
) -> None:
    site.seen_long_ago()
    site.server.stop()
    site.disk.fill()
    site.server.start()
    everything_can_be_read(site)
    nothing_is_stored(site, {503, 507})
    site.disk.empty()
    assert site.ask("/api/v1/pairing", pairing_wish(GREEN, "Green"))[0] == 200


def test_on_a_disk_that_may_only_be_read_everything_can_be_read_until_it_is_mounted_again(
    site: Site,
) -> None:
    site.seen_long_ago()
    site.server.stop()
    site.disk.read_only()
    site.server.start()
    everything_can_be_read(site)
    nothing_is_stored(site, {503})
    site.disk.writable()
    assert site.ask("/api/v1/pairing", pairing_wish(GREEN, "Green"))[0] == 200
