"""A backup comes back whole, at once, and what it lacks comes back from the phones."""

from __future__ import annotations

import sqlite3
import stat
import tarfile
import threading
from contextlib import closing
from pathlib import Path

import pytest

from bradawl.backup.archive import DATABASE, MANIFEST, BackupError
from bradawl.backup.parts import database_file
from tests.backup.data import OTHER, PHONE, VISIT, Data, Phone, filled


def test_a_server_set_back_to_yesterday_is_refilled_by_the_phones_and_says_what_is_missing(
    data: Data, tmp_path: Path
) -> None:
    phone, lost = Phone(PHONE), Phone(OTHER)
    log = data.start()
    for one in (phone, lost):
        one.write(10)
        one.shoot(10 if one is phone else 20)
        one.send(log)
    data.backup(tmp_path / "yesterday.tar")
    for one in (phone, lost):
        one.write(5)
        one.shoot(110 if one is phone else 120)
        one.send(log)
    assert log.held() == {PHONE: 15, OTHER: 15}
    data.stop()

    data.restore(tmp_path / "yesterday.tar", replace=True)
    log = data.start()
    assert log.held() == {PHONE: 10, OTHER: 10}
    phone.write(1)
    phone.send(log)
    assert log.held() == {PHONE: 16, OTHER: 10}
    assert log.photos.missing(list(phone.photos)) == []
    assert all(log.photo_original(sha) == data_ for sha, data_ in phone.photos.items())

    # The second phone is gone; the first had fetched its entries before the restore.
    log.pull({**phone.writer.have(), **lost.writer.have()})
    gaps = data.access.missing.gaps(log.held())
    assert [(gap.device, gap.held, gap.seen, gap.missing) for gap in gaps] == [(OTHER, 10, 15, 5)]
    # It is found after all, and nothing is missing any more.
    lost.send(log)
    assert data.access.missing.gaps(log.held()) == []
    data.stop()


def test_a_backup_made_during_writes_is_one_consistent_state(data: Data, tmp_path: Path) -> None:
    log = data.start()
    phone = Phone(PHONE)
    stop = threading.Event()

    def keep_writing() -> None:
        while not stop.is_set():
            phone.write(1)
            phone.send(log)

    phone.write(1)
    phone.send(log)
    writer = threading.Thread(target=keep_writing)
    writer.start()
    try:
        for number in range(5):
            data.backup(tmp_path / f"{number}.tar")
    finally:
        stop.set()
        writer.join()
    data.stop()
    for number in range(5):
        fresh = Data(tmp_path / f"restored-{number}")
        fresh.restore(tmp_path / f"{number}.tar")
        restored = fresh.start()
        held = restored.held()[PHONE]
        assert held >= 1
        assert len(restored.events_of(VISIT)) == held
        fresh.stop()


def test_photos_and_the_ledger_of_reports_come_back_and_keys_are_not_in_it(
    data: Data, tmp_path: Path
) -> None:
    filled(data)
    keys = data.folder / "keys"
    keys.mkdir()
    (keys / "authority.key").write_text("PRIVATE")
    target = tmp_path / "b.tar"
    data.backup(target)
    assert stat.S_IMODE(target.stat().st_mode) == 0o600
    assert b"PRIVATE" not in target.read_bytes()
    with tarfile.open(target) as tar:
        names = tar.getnames()
    assert (names[0], names[-1]) == (DATABASE, MANIFEST)
    fresh = Data(tmp_path / "fresh")
    fresh.restore(target)
    log = fresh.start()
    assert fresh.ledger.read_text() == '{"number": "20261125-ABC"}\n'
    for sha256 in data.photos.names("original"):
        assert log.photo_original(sha256) == data.photos.read(sha256, "original")
    fresh.stop()


def test_a_restore_sets_the_old_database_aside_and_only_when_told_to(
    data: Data, tmp_path: Path
) -> None:
    filled(data)
    target = tmp_path / "b.tar"
    data.backup(target)
    with pytest.raises(BackupError, match="--replace"):
        data.restore(target)
    data.restore(target, replace=True)
    aside = list(data.folder.glob("before-restore-*-bradawl.sqlite3"))
    assert len(aside) == 1
    with sqlite3.connect(aside[0]) as connection:
        assert connection.execute("SELECT held FROM log_device").fetchone() == (4,)
    connection.close()


def test_a_restore_under_a_running_server_is_refused(data: Data, tmp_path: Path) -> None:
    filled(data)
    target = tmp_path / "b.tar"
    data.backup(target)
    log = data.start()
    log.held()
    with pytest.raises(BackupError, match="running"):
        data.restore(target, replace=True)
    assert log.held() == {PHONE: 4}
    data.stop()
    data.restore(target, replace=True)


def test_a_restore_beside_a_program_that_has_the_database_open_is_refused(
    data: Data, tmp_path: Path
) -> None:
    filled(data)
    data.backup(tmp_path / "b.tar")
    with closing(sqlite3.connect(data.database)) as other:
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(BackupError, match="Another program"):
            data.restore(tmp_path / "b.tar", replace=True)
    data.restore(tmp_path / "b.tar", replace=True)


def test_adapted_checklists_come_back_and_those_of_now_are_set_aside(
    data: Data, tmp_path: Path
) -> None:
    filled(data)
    kept = data.folder / "checklists" / "mine" / "versions" / "ab12" / "published" / "a.yaml"
    kept.parent.mkdir(parents=True)
    kept.write_text("items: []")
    (data.folder / "checklists" / "in-use.json").write_text("{}")
    data.backup(tmp_path / "b.tar")
    kept.write_text("items: [changed]")
    (data.folder / "checklists" / "later.json").write_text("{}")
    data.restore(tmp_path / "b.tar", replace=True)
    assert kept.read_text() == "items: []"
    assert not (data.folder / "checklists" / "later.json").exists()
    (aside,) = data.folder.glob("before-restore-*-checklists")
    assert (aside / "later.json").exists()


def test_a_restore_puts_a_whole_photo_in_the_place_of_a_damaged_one(
    data: Data, tmp_path: Path
) -> None:
    phone = filled(data)
    (sha256,) = phone.photos
    data.backup(tmp_path / "b.tar")
    data.photo(sha256).write_bytes(b"x" + phone.photos[sha256][1:])
    assert data.restore(tmp_path / "b.tar", replace=True).faults == ()
    assert data.photo(sha256).read_bytes() == phone.photos[sha256]


def test_database_and_photos_may_lie_on_other_disks_than_the_data_folder(tmp_path: Path) -> None:
    """What `BRADAWL_DATABASE_URL` and `BRADAWL_PHOTO_STORE` name."""
    apart = Data(tmp_path / "data")
    apart.database = tmp_path / "databases" / "one.sqlite3"
    phone = filled(apart)
    apart.backup(tmp_path / "b.tar")
    apart.restore(tmp_path / "b.tar", replace=True)
    assert sorted(path.name for path in apart.database.parent.iterdir())[-1].endswith("-lock")
    assert apart.start().held() == {PHONE: len(phone.written)}
    assert apart.ledger.is_file()


def test_another_database_engine_is_told_to_use_its_own_tools() -> None:
    with pytest.raises(BackupError, match="pg_dump"):
        database_file("postgresql+psycopg://db/bradawl")
