"""A backup is whole, made while the server writes, and what it lacks comes back from the phones."""

from __future__ import annotations

import hashlib
import io
import json
import os
import sqlite3
import stat
import tarfile
import threading
from collections.abc import Callable
from pathlib import Path

import pytest
from PIL import Image

from bradawl import cli
from bradawl.access.access import Access
from bradawl.access.backup import (
    DATABASE,
    MANIFEST,
    BackupError,
    database_file,
    restore,
    write_backup,
)
from bradawl.database import migrate, open_engine
from bradawl.errors import ApiError
from bradawl.log import FolderPhotoStore, Log
from bradawl.report import Signers, known_in
from tests.access.conftest import PASSPHRASE, Server
from tests.log.server import MS
from tests.log.writer import Writer
from tests.writing import key_of

KEYS = {key.device: key for key in map(key_of, ("first", "second"))}
PHONE, OTHER = KEYS
VISIT = "a1" * 16


class Data:
    """A data folder as the settings lay it out, and a server over it."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.database = folder / "bradawl.sqlite3"
        self.ledger = folder / "reports.jsonl"
        self.store = FolderPhotoStore(folder / "photos")
        self._log: Log | None = None

    def start(self) -> Log:
        engine = open_engine(f"sqlite:///{self.database}")
        migrate(engine)
        self.access = Access(engine)
        self._log = Log(engine, self.store, on_pull=self.access.missing.note)
        return self._log

    def stop(self) -> None:
        if self._log is not None:
            self._log.close()
            self._log = None

    def backup(self, target: Path) -> None:
        write_backup(self.database, self.folder, self.store, target)

    def restore(self, source: Path, *, replace: bool = False) -> None:
        restore(source, self.database, self.folder, self.store, replace=replace)


class Phone:
    """A phone that keeps what it wrote and sends what the server lacks (README of the log)."""

    def __init__(self, device: str) -> None:
        self.writer = Writer(KEYS[device], VISIT)
        self.photos: dict[str, bytes] = {}

    def write(self, count: int) -> None:
        for number in range(len(self.writer.events), len(self.writer.events) + count):
            self.writer.put(f"items/a.b{number}/note", f"note {number}")

    def shoot(self, shade: int) -> None:
        picture = io.BytesIO()
        Image.new("RGB", (32, 24), (shade, 40, 90)).save(picture, "JPEG")
        data = picture.getvalue()
        self.photos[hashlib.sha256(data).hexdigest()] = data

    def send(self, log: Log) -> None:
        try:
            log.push(self.writer.batch(len(self.writer.events)), received_ms=MS)
        except ApiError as refused:
            if refused.code != "gap":
                raise
            log.push(self.writer.batch(refused.more["held"] + 1), received_ms=MS)
        for sha256 in log.photos.missing(list(self.photos)):
            with log.photos.arriving(sha256) as arrival:
                arrival.add(self.photos[sha256])
                log.photos.keep(arrival, self.writer.device)


@pytest.fixture
def data(tmp_path: Path) -> Data:
    return Data(tmp_path / "data")


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


def filled(data: Data) -> None:
    log = data.start()
    phone = Phone(PHONE)
    phone.write(3)
    phone.shoot(10)
    phone.send(log)
    data.ledger.write_text('{"number": "20261125-ABC"}\n')
    data.stop()


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
    for sha256 in data.store.names("original"):
        assert log.photo_original(sha256) == data.store.read(sha256, "original")
    fresh.stop()


def test_what_was_signed_counts_after_the_keys_are_lost_with_their_machine(
    data: Data, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    filled(data)
    lost = Signers(data.folder, data.folder / "keys").shop()
    assert run(monkeypatch, data, "backup", str(tmp_path / "b.tar")) == 0
    fresh = Data(tmp_path / "fresh")
    assert run(monkeypatch, fresh, "restore", str(tmp_path / "b.tar")) == 0
    assert not (fresh.folder / "keys").exists()
    known = known_in(fresh.folder, fresh.folder / "keys").certificates
    assert known == {lost.fingerprint: lost.name}


def test_nothing_is_overwritten_by_a_backup(data: Data, tmp_path: Path) -> None:
    filled(data)
    target = tmp_path / "b.tar"
    target.write_text("something else")
    with pytest.raises(BackupError, match="exists already"):
        data.backup(target)
    assert target.read_text() == "something else"


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
        assert connection.execute("SELECT held FROM log_device").fetchone() == (3,)
    connection.close()


def test_a_restore_under_a_running_server_is_refused(data: Data, tmp_path: Path) -> None:
    filled(data)
    target = tmp_path / "b.tar"
    data.backup(target)
    log = data.start()
    log.held()
    with pytest.raises(BackupError, match="running"):
        data.restore(target, replace=True)
    assert log.held() == {PHONE: 3}
    data.stop()
    data.restore(target, replace=True)


def tampered(target: Path, change: Callable[[list[tuple[str, bytes]]], object]) -> None:
    with tarfile.open(target) as tar:
        files = [(one.name, tar.extractfile(one).read()) for one in tar]  # type: ignore[union-attr]
    change(files)
    with tarfile.open(target, "w") as tar:
        for name, content in files:
            entry = tarfile.TarInfo(name)
            entry.size = len(content)
            tar.addfile(entry, io.BytesIO(content))


def flip(files: list[tuple[str, bytes]], index: int) -> None:
    name, content = files[index]
    files[index] = (name, content[:-1] + bytes([content[-1] ^ 1]))


@pytest.mark.parametrize(
    "change",
    [
        lambda files: files.pop(),
        lambda files: files.pop(1),
        lambda files: files.pop(0),
        lambda files: flip(files, 0),
        lambda files: flip(files, 2),
        lambda files: files.append(("../../evil", b"x")),
        lambda files: files.insert(1, ("/etc/evil", b"x")),
        lambda files: files.insert(1, ("photos/../evil", b"x")),
        lambda files: files.insert(1, ("photos/" + "a" * 64, b"not its hash")),
        lambda files: files.__setitem__(-1, (MANIFEST, b"{}")),
        lambda files: files.__setitem__(-1, (MANIFEST, b"not json")),
    ],
)
def test_a_damaged_or_foreign_archive_changes_nothing(
    data: Data, tmp_path: Path, change: Callable[[list[tuple[str, bytes]]], object]
) -> None:
    filled(data)
    target = tmp_path / "b.tar"
    data.backup(target)
    tampered(target, change)
    fresh = Data(tmp_path / "fresh")
    with pytest.raises(BackupError):
        fresh.restore(target)
    assert not fresh.database.exists()
    assert list(fresh.store.names("original")) == []
    assert not list(fresh.folder.glob("restoring-*"))
    assert not (tmp_path / "evil").exists()


@pytest.mark.parametrize("size", [0, 100, 5000])
def test_a_cut_off_archive_changes_nothing(data: Data, tmp_path: Path, size: int) -> None:
    filled(data)
    target = tmp_path / "b.tar"
    data.backup(target)
    os.truncate(target, size)
    fresh = Data(tmp_path / "fresh")
    with pytest.raises(BackupError):
        fresh.restore(target)
    assert not fresh.database.exists()


def test_another_database_engine_is_told_to_use_its_own_tools() -> None:
    with pytest.raises(BackupError, match="pg_dump"):
        database_file("postgresql+psycopg://db/bradawl")


def run(monkeypatch: pytest.MonkeyPatch, data: Data, *command: str) -> int:
    monkeypatch.setenv("BRADAWL_DATA", str(data.folder))
    return cli.main(command)


def test_the_commands_say_what_they_did_and_sign_everybody_out(
    data: Data,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    filled(data)
    data.start()
    owner = data.access.first_owner()
    code = data.access.people.invite(owner.id)
    person = data.access.people.accept(code, "Ada", PASSPHRASE, PASSPHRASE)
    assert person is not None
    token = data.access.sessions.begin(person)
    data.access.pairing.pair_at_once(PHONE, "Blue phone", owner.id)
    data.stop()
    target = str(tmp_path / "b.tar")
    assert run(monkeypatch, data, "backup", target) == 0
    assert "3 entries of 1 devices, 1 photos" in capsys.readouterr().out
    assert run(monkeypatch, data, "backup", target) == 1
    assert "exists already" in capsys.readouterr().err
    assert run(monkeypatch, data, "restore", target) == 1
    assert run(monkeypatch, data, "restore", target, "--replace") == 0
    said = capsys.readouterr().out
    assert "Blue phone" in said
    assert "Restored the state of" in said
    data.start()
    assert data.access.sessions.signed_in(token) is None
    assert data.access.people.check("Ada", PASSPHRASE) is not None
    assert data.access.audit.lines()[0].act == "restored from a backup"
    data.stop()


def test_invite_prints_a_code_that_works_and_knows_names(
    data: Data, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(monkeypatch, data, "invite") == 0
    code = capsys.readouterr().out.strip().rpartition("#")[2]
    assert run(monkeypatch, data, "invite", "Nobody") == 1
    assert "Nobody is called" in capsys.readouterr().err
    data.start()
    person = data.access.people.accept(code, "Ada", PASSPHRASE, PASSPHRASE)
    assert person is not None
    assert person.role == "owner"
    data.stop()
    assert run(monkeypatch, data, "invite", "ada") == 0
    assert "For Ada" in capsys.readouterr().out


def test_the_desk_hands_out_a_backup_to_a_confirmed_owner_only(server: Server) -> None:
    owner = server.desk()
    answer = owner.post("/desk/keep")
    assert answer.content == b"everything"
    assert answer.headers["content-type"] == "application/x-tar"
    assert answer.headers["content-disposition"].startswith("attachment")
    assert server.access.audit.lines()[0].act == "backup downloaded"
    assert server.desk("Bo", "inspector").post("/desk/keep").status_code == 403
    assert server.client().post("/desk/keep").status_code == 401
    server.clock.pass_seconds(601)
    assert owner.post("/desk/keep").headers["location"].startswith("/desk/confirm")


def test_the_desk_says_what_is_missing(server: Server) -> None:
    owner = server.desk()
    assert "Nothing is missing" in owner.get("/desk/keep").text
    server.events.held = {PHONE: 10}
    server.access.missing.note({PHONE: 15, OTHER: 1}, server.events.held)
    page = owner.get("/desk/keep").text
    assert "5 entries, numbers 11 to 15" in page
    assert "1 entry, numbers 1 to 1" in page


def test_what_phones_claim_to_have_seen_cannot_fill_the_disk(server: Server) -> None:
    for first in range(0, 1200, 300):
        have = {f"{number:032x}": 5 for number in range(first, first + 300)}
        server.access.missing.note(have, {})
    assert len(server.access.missing.gaps({})) == 500


def test_the_manifest_is_readable_by_people(data: Data, tmp_path: Path) -> None:
    filled(data)
    data.backup(tmp_path / "b.tar")
    with tarfile.open(tmp_path / "b.tar") as tar:
        manifest = json.loads(tar.extractfile(MANIFEST).read())  # type: ignore[union-attr]
    assert (manifest["format"], manifest["events"], manifest["photos"]) == (1, 3, 1)
