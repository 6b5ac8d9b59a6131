"""A full, failing or read-only disk: nothing is acknowledged that is not kept, and it is said."""

from __future__ import annotations

import errno
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import event
from starlette.testclient import TestClient

from bradawl.log.event_log import Log
from bradawl.log.integrity.doctor import examine
from bradawl.log.photos import photos
from bradawl.log.photos.storage import FolderPhotoStore
from tests.log.photos.pictures import encoded, sha256
from tests.log.photos.test_photos import put
from tests.log.server import MS, VISIT, client_of, new_log
from tests.log.sync.test_sync import PUSH, refused
from tests.log.writer import Writer, read_as

ROOM = 3 * 1024 * 1024


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A real file system of 3 MiB."""
    place = tmp_path / "small"
    place.mkdir()
    subprocess.run(["mount", "-t", "tmpfs", "-o", f"size={ROOM}", "tmpfs", str(place)], check=True)
    try:
        yield place
    finally:
        subprocess.run(["umount", "-l", str(place)], check=True)


def test_a_disk_that_fills_up_loses_nothing_acknowledged_and_goes_on_when_there_is_room(
    small_disk: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(photos, "RESERVE_BYTES", 0)
    log = new_log(small_disk)
    ballast = small_disk / "ballast"
    writer = Writer()
    acknowledged = 0
    kept: list[bytes] = []
    told: set[str] = set()
    with client_of(log) as client:
        for number in range(60):
            writer.fill(40)
            answer = client.post(PUSH, json=writer.batch(acknowledged + 1, acknowledged + 40))
            if answer.status_code == 200:
                acknowledged = answer.json()["held"]
            else:
                refused(answer, 507, "disk_full")
                told.add("events")
            photo = encoded("JPEG", 300 + number, 300, quality=95, comment=bytes(20_000))
            answer = put(client, photo)
            if answer.status_code == 201:
                kept.append(photo)
            else:
                refused(answer, 507, "disk_full")
                told.add("photos")
            if number == 20:
                free = shutil.disk_usage(small_disk).free
                ballast.write_bytes(bytes(max(0, free - 90_000)))
        assert told == {"events", "photos"}
        assert acknowledged > 0
        assert kept
        assert len(log.events_of(VISIT)) == acknowledged
        assert examine(log).findings == []
        ballast.unlink()
        end = min(acknowledged + 200, len(writer.events))
        answer = client.post(PUSH, json=writer.batch(acknowledged + 1, end))
        assert answer.json()["held"] == end
    log.close()
    again = new_log(small_disk)
    assert again.events_of(VISIT) == read_as(writer.events[:end])
    for photo in kept:
        assert again.photo_original(sha256(photo)) == photo
    assert examine(again).findings == []
    again.close()


def test_the_last_room_on_a_disk_is_kept_for_events(small_disk: Path) -> None:
    log = new_log(small_disk)
    with client_of(log) as client:
        refused(put(client, encoded()), 507, "disk_full")
        assert client.post(PUSH, json=Writer().fill(3).batch()).json()["held"] == 3
    log.close()


class Failing(FolderPhotoStore):
    """A store of which one step fails with an I/O error."""

    def __init__(self, root: Path, step: str) -> None:
        super().__init__(root)
        self.fails = step

    def keep(self, *rest: Any) -> None:
        self._try("keep")
        super().keep(*rest)

    def settle(self, *rest: Any) -> None:
        self._try("settle")
        super().settle(*rest)

    def _try(self, step: str) -> None:
        if self.fails == step:
            raise OSError(errno.EIO, "Input/output error")


@pytest.mark.parametrize("step", ["keep", "settle"])
def test_a_photo_that_the_disk_will_not_take_is_not_acknowledged(tmp_path: Path, step: str) -> None:
    log = new_log(tmp_path)
    store = Failing(tmp_path / "photos", step)
    log.photos.store = store
    data = encoded()
    with client_of(log) as client:
        refused(put(client, data), 503, "storage")
        assert log.photos.missing([sha256(data)]) == [sha256(data)]
        store.fails = ""
        assert put(client, data).status_code == 201
    log.close()


def test_every_statement_and_commit_that_fails_leaves_all_or_nothing(tmp_path: Path) -> None:
    """The n-th operation fails, n = 1, 2, 3 … until the push goes through."""
    log = new_log(tmp_path)
    writer = Writer().fill(12)
    left = 0

    def count(*_event: Any) -> None:
        nonlocal left
        left -= 1
        if left == 0:
            raise OSError(errno.EIO, "Input/output error")

    event.listen(log.engine, "begin", count)
    event.listen(log.engine, "before_cursor_execute", count)
    event.listen(log.engine, "commit", count)
    held, failures = 0, 0
    with client_of(log) as client:
        for half in ((1, 6), (4, 12)):
            number = 1
            while True:
                left = number
                answer = client.post(PUSH, json=writer.batch(*half))
                left = 0
                stored = [one["seq"] for one in log.events_of(VISIT)]
                if answer.status_code == 200:
                    held = half[1]
                    assert stored == list(range(1, held + 1))
                    break
                refused(answer, 503, "storage")
                assert stored == list(range(1, held + 1))
                assert examine(log).findings == []
                failures += 1
                number += 1
    assert failures >= 10
    log.close()


def test_a_database_that_may_only_be_read_is_named_and_still_read(
    client: TestClient, log: Log
) -> None:
    writer = Writer().fill(3)
    client.post(PUSH, json=writer.batch(1, 2))
    # as with a folder that is mounted read-only; root's rights would pass over file modes
    event.listen(
        log.engine,
        "begin",
        lambda connection: connection.exec_driver_sql("PRAGMA query_only=ON").close(),
    )
    error = refused(client.post(PUSH, json=writer.batch(3, 3)), 503, "read_only")
    assert "permissions" in error["message"]
    assert len(log.events_of(VISIT)) == 2
    assert client.post("/api/v1/sync/pull", json={"protocol": 2, "have": {}}).status_code == 200


def test_a_damaged_database_is_named_and_the_phone_told_to_keep_everything(
    tmp_path: Path,
) -> None:
    log = new_log(tmp_path)
    log.push(Writer().fill(500).batch(), received_ms=MS)
    log.close()
    path = tmp_path / "log.db"
    whole = path.read_bytes()
    said = 0
    for page in range(1, len(whole) // 4096, 3):
        path.write_bytes(
            whole[: page * 4096] + bytes(range(256)) * 16 + whole[page * 4096 + 4096 :]
        )
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr("tests.log.server.migrated", lambda _engine: None)
            damaged = new_log(tmp_path)
        with client_of(damaged) as client:
            for answer in (
                client.post("/api/v1/sync/pull", json={"protocol": 2, "have": {}}),
                client.post(PUSH, json=Writer().fill(501).batch(501, 501)),
            ):
                if answer.status_code != 200:
                    assert "bradawl doctor" in refused(answer, 503, "damaged")["message"]
                    said += 1
        damaged.close()
    assert said >= 5


def test_a_database_that_another_holds_for_long_is_said_to_be_busy(tmp_path: Path) -> None:
    log = new_log(tmp_path)
    holder = new_log(tmp_path)
    event.listen(
        log.engine,
        "connect",
        lambda connection, _record: connection.execute("PRAGMA busy_timeout=50").close(),
    )
    log.engine.dispose()
    with client_of(log) as client:
        with holder.engine.begin():
            refused(client.post(PUSH, json=Writer().fill(1).batch()), 503, "busy")
        assert client.post(PUSH, json=Writer().fill(1).batch()).status_code == 200
    log.close()
    holder.close()
