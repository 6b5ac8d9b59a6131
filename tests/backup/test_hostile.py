"""Whatever a file holds, `restore` answers in a sentence, changes nothing it should not, and puts
back what is whole."""

from __future__ import annotations

import gzip
import hashlib
import io
import json
import os
import random
import sqlite3
import tarfile
from collections.abc import Callable
from contextlib import closing, suppress
from pathlib import Path

import pytest

from bradawl.backup.archive import DATABASE, MANIFEST, BackupError
from tests.backup.data import PHONE, Data, Entries, Phone, entries_of, filled, write_archive

Change = Callable[[Entries], object]


@pytest.fixture
def phone(data: Data, tmp_path: Path) -> Phone:
    """Who sent what is in the backup at `b.tar`."""
    phone = filled(data, photos=3)
    data.backup(tmp_path / "b.tar")
    return phone


@pytest.fixture
def archive(phone: Phone, tmp_path: Path) -> Path:
    return tmp_path / "b.tar"


@pytest.fixture
def fresh(tmp_path: Path) -> Data:
    return Data(tmp_path / "fresh")


def refused(fresh: Data, archive: Path, **options: bool) -> str:
    """The sentence with which a restore is refused; everything must be as it was."""
    with pytest.raises(BackupError) as caught:
        fresh.restore(archive, **options)
    assert not fresh.database.exists()
    assert list(fresh.photos.names("original")) == []
    assert not list(fresh.folder.glob("*restoring*"))
    sentence = str(caught.value)
    assert sentence.isprintable()
    assert sentence.endswith(".")
    return sentence


def member(archive: Path, change: Callable[[tarfile.TarInfo], object], body: bytes = b"") -> None:
    """Add an entry of any kind in front of all others."""
    entries = entries_of(archive)
    with tarfile.open(archive, "w", format=tarfile.GNU_FORMAT) as tar:
        info = tarfile.TarInfo("photos/" + "a" * 64)
        info.size = len(body)
        change(info)
        tar.addfile(info, io.BytesIO(body) if body else None)
        for name, content in entries:
            entry = tarfile.TarInfo(name)
            entry.size = len(content)
            tar.addfile(entry, io.BytesIO(content))


def kind(letter: bytes, name: str = "", target: str = "") -> Callable[[tarfile.TarInfo], object]:
    def change(info: tarfile.TarInfo) -> None:
        info.type = letter
        info.name = name or info.name
        info.linkname = target

    return change


@pytest.mark.parametrize(
    "change",
    [
        kind(tarfile.SYMTYPE, target="/etc/passwd"),
        kind(tarfile.SYMTYPE, "photos", "/etc"),
        kind(tarfile.LNKTYPE, target="/etc/passwd"),
        kind(tarfile.DIRTYPE, "photos"),
        kind(tarfile.CHRTYPE),
        kind(tarfile.BLKTYPE),
        kind(tarfile.FIFOTYPE),
        kind(tarfile.CONTTYPE),
        kind(tarfile.GNUTYPE_SPARSE),
        kind(b"V"),
        kind(b"x"),
        kind(b"g"),
        kind(b"?"),
        kind(tarfile.REGTYPE, "/etc/evil"),
        kind(tarfile.REGTYPE, "../../evil"),
        kind(tarfile.REGTYPE, "photos/../evil"),
        kind(tarfile.REGTYPE, "checklists/../evil"),
        kind(tarfile.REGTYPE, "checklists//evil"),
        kind(tarfile.REGTYPE, "checklists/./evil"),
        kind(tarfile.REGTYPE, "checklists/.evil"),
        kind(tarfile.REGTYPE, "damaged/../../evil"),
        kind(tarfile.REGTYPE, "keys/authority.key"),
        kind(tarfile.REGTYPE, "bradawl.sqlite3"),
        kind(tarfile.REGTYPE, "photos/" + "A" * 64),
        kind(tarfile.REGTYPE, "photos/" + "a" * 63),
        kind(tarfile.REGTYPE, "x" * 300),
    ],
)
def test_an_entry_that_no_backup_has_is_refused(
    archive: Path, fresh: Data, change: Callable[[tarfile.TarInfo], object], tmp_path: Path
) -> None:
    member(archive, change)
    for partial in (False, True):
        assert "isn't a backup" in refused(fresh, archive, partial=partial)
    assert not list(tmp_path.rglob("*evil*"))


def test_a_sparse_entry_as_tar_programs_write_it_is_refused(archive: Path, fresh: Data) -> None:
    # the format's own record of holes (POSIX.1-2001 pax, GNU.sparse.*)
    info = tarfile.TarInfo("photos/" + "a" * 64)
    info.pax_headers = {"GNU.sparse.major": "1", "GNU.sparse.realsize": str(1 << 50)}
    with tarfile.open(archive, "w", format=tarfile.PAX_FORMAT) as tar:
        tar.addfile(info)
    refused(fresh, archive)


@pytest.mark.parametrize("size", [8**11 - 1, 1 << 70, -1, -(1 << 70)])
def test_a_declared_size_of_any_length_takes_no_room_and_no_memory(
    archive: Path, fresh: Data, size: int
) -> None:
    whole = archive.read_bytes()
    info = tarfile.TarInfo("photos/" + "a" * 64)
    info.size = size
    archive.write_bytes(info.tobuf(tarfile.GNU_FORMAT) + whole)
    refused(fresh, archive)


def test_a_file_with_holes_needs_the_room_that_it_says(archive: Path, fresh: Data) -> None:
    """A petabyte of nothing takes no room on the attacker's disk."""
    manifest = entries_of(archive)[-1][1]
    header = tarfile.TarInfo(DATABASE)
    header.size = 1 << 43
    with archive.open("r+b") as file:
        file.write(header.tobuf(tarfile.GNU_FORMAT))
        file.truncate(512)
        file.seek(512 + header.size)
        end = tarfile.TarInfo(MANIFEST)
        end.size = len(manifest)
        file.write(end.tobuf(tarfile.GNU_FORMAT) + manifest + bytes(-len(manifest) % 512 + 1024))
    assert "free" in refused(fresh, archive)


@pytest.mark.parametrize(
    "bomb",
    [
        gzip.compress(bytes(50_000_000)),
        b"",
        b"\0" * 1024,
        b"\0" * 100_000,
        b"PK\x03\x04" + bytes(5000),
        os.urandom(20_000),
        b"SQLite format 3\0" + bytes(5000),
    ],
)
def test_another_kind_of_file_is_refused(archive: Path, fresh: Data, bomb: bytes) -> None:
    archive.write_bytes(bomb)
    for partial in (False, True):
        refused(fresh, archive, partial=partial)


@pytest.mark.parametrize("packed", ["gz", "bz2", "xz"])
def test_a_packed_backup_is_refused_before_it_is_unpacked(
    archive: Path, fresh: Data, packed: str
) -> None:
    entries = entries_of(archive)
    with tarfile.open(archive, f"w:{packed}") as tar:  # type: ignore[call-overload]
        for name, content in entries:
            entry = tarfile.TarInfo(name)
            entry.size = len(content)
            tar.addfile(entry, io.BytesIO(content))
    refused(fresh, archive)


def test_what_is_no_file_is_refused_and_not_waited_for(
    archive: Path, fresh: Data, tmp_path: Path
) -> None:
    os.mkfifo(tmp_path / "pipe")
    for place in (tmp_path / "pipe", tmp_path, Path("/dev/zero"), tmp_path / "nothing"):
        refused(fresh, place)


def replaced(name: str, content: bytes) -> Change:
    def change(entries: Entries) -> None:
        (at,) = [number for number, (held, _) in enumerate(entries) if held == name]
        entries[at] = (name, content)

    return change


def told(**values: object) -> Change:
    """A manifest with other values."""

    def change(entries: Entries) -> None:
        manifest = json.loads(entries[-1][1])
        entries[-1] = (MANIFEST, json.dumps({**manifest, **values}).encode())

    return change


@pytest.mark.parametrize(
    "change",
    [
        replaced(MANIFEST, b"{}"),
        replaced(MANIFEST, b"[]"),
        replaced(MANIFEST, b"not json"),
        replaced(MANIFEST, b"[" * 200_000),
        replaced(MANIFEST, b'{"a":' * 100_000 + b"1" + b"}" * 100_000),
        replaced(MANIFEST, b'{"format": 2, "more": ' + b"[" * 5000 + b"]" * 5000 + b"}"),
        replaced(MANIFEST, b"\xff\xfe"),
        replaced(MANIFEST, b'"\\ud800"'),
        replaced(MANIFEST, b"1" * 10_000),
        told(format=1),
        told(format="2"),
        told(format=True),
        told(events="many"),
        told(events=None),
        told(events=1.5),
        told(events=10**400),
        told(photos=[]),
        told(sha256=[]),
        told(sha256={DATABASE: 1}),
        told(damaged={}),
        told(damaged=["x"]),
        told(missing=[{"name": 1, "what": 2}]),
        told(problems="x"),
        told(made=None),
        lambda entries: entries.append(("photos/" + "b" * 64, b"behind the manifest")),
        lambda entries: entries.append(entries[-1]),
        lambda entries: entries.insert(1, entries[0]),
        lambda entries: entries.insert(3, entries[2]),
        lambda entries: (
            entries.insert(1, ("checklists/a", b"a file"))
            or entries.insert(2, ("checklists/a/b", b"below it"))
        ),
        lambda entries: (
            entries.insert(1, ("checklists/a/b", b"below"))
            or entries.insert(2, ("checklists/a", b"a file"))
        ),
        lambda entries: entries.pop(0),
        replaced(DATABASE, b""),
        replaced(DATABASE, b"not a database" * 500),
    ],
)
def test_a_manifest_or_database_of_another_shape_is_refused(
    archive: Path, fresh: Data, change: Change
) -> None:
    entries = entries_of(archive)
    change(entries)
    write_archive(archive, entries)
    refused(fresh, archive)


def foreign(statement: str) -> Change:
    """The database with something more in it."""

    def change(entries: Entries) -> None:
        place = Path("/tmp") / f"foreign-{os.getpid()}.sqlite3"
        place.write_bytes(entries[0][1])
        with closing(sqlite3.connect(place)) as database, database:
            database.executescript(statement)
        entries[0] = (DATABASE, place.read_bytes())
        place.unlink()

    return change


ENDLESS = "WITH RECURSIVE n(x) AS (SELECT 1 UNION ALL SELECT x + 1 FROM n) SELECT x, x held FROM n"


@pytest.mark.parametrize(
    ("statement", "word"),
    [
        (f"ALTER TABLE log_device RENAME TO d; CREATE VIEW log_device AS {ENDLESS}", "view"),
        (
            (
                "CREATE TRIGGER t AFTER INSERT ON access_audit BEGIN "
                f"INSERT INTO access_attempt (key, at_ms) SELECT 'x', x FROM ({ENDLESS}); END"
            ),
            "trigger",
        ),
        ("DROP TABLE log_batch", "lacks the table"),
        ("DROP TABLE log_device", "can't be used"),
        ("DROP TABLE access_session", "lacks the table"),
        ("UPDATE alembic_version SET version_num = '9999'", "newer Bradawl"),
        ("ALTER TABLE access_session RENAME COLUMN browser TO b", "lacks the column browser"),
        ("UPDATE alembic_version SET version_num = 'zzzz'", "newer Bradawl"),
        ("CREATE TABLE a (b); PRAGMA writable_schema = 1; UPDATE sqlite_master SET sql = 'x'", "u"),
    ],
)
def test_a_database_that_does_more_or_less_than_bradawls_is_refused(
    archive: Path, fresh: Data, statement: str, word: str
) -> None:
    entries = entries_of(archive)
    foreign(statement)(entries)
    write_archive(archive, entries)
    assert word in refused(fresh, archive)


def test_a_sentence_of_an_archive_cannot_steer_a_terminal(archive: Path, fresh: Data) -> None:
    entries = entries_of(archive)
    told(problems=["\x1b[2J\x07all is well" + "x" * 10_000])(entries)
    write_archive(archive, entries)
    (fault,) = fresh.restore(archive).faults
    assert fault.isprintable()
    assert len(fault) < 600


def test_wrong_bytes_of_a_photo_cost_that_photo_alone(
    archive: Path, fresh: Data, phone: Phone
) -> None:
    entries = entries_of(archive)
    name = entries[3][0]
    entries[3] = (name, b"something else")
    write_archive(archive, entries)
    restored = fresh.restore(archive)
    assert restored.photos == len(phone.photos) - 1
    (fault,) = restored.faults
    assert name.removeprefix("photos/")[:12] in fault
    assert fresh.start().photos.missing(list(phone.photos)) == [name.removeprefix("photos/")]
    fresh.stop()


def test_a_photo_left_out_is_named_with_where_it_belongs(
    archive: Path, fresh: Data, phone: Phone
) -> None:
    entries = entries_of(archive)
    name, _ = entries.pop(3)
    write_archive(archive, entries)
    faults = fresh.restore(archive).faults
    assert any(name[7:19] in fault and "item rust.sills" in fault for fault in faults)


def test_a_file_beside_the_database_counts_only_whole(archive: Path, fresh: Data) -> None:
    entries = entries_of(archive)
    replaced("reports.jsonl", b'{"number": "forged"}')(entries)
    write_archive(archive, entries)
    (fault,) = fresh.restore(archive).faults
    assert "reports.jsonl was changed" in fault
    assert not fresh.ledger.exists()


def test_an_archive_cut_off_anywhere_is_refused_and_restored_in_part_when_told_to(
    archive: Path, tmp_path: Path, phone: Phone
) -> None:
    whole = archive.read_bytes()
    entries = entries_of(archive)
    database_end = 512 + len(entries[0][1])
    with tarfile.open(archive) as tar:
        manifest = tar.getmember(MANIFEST)
    end = manifest.offset_data + manifest.size
    # every border of a block near an entry's borders, and some places anywhere
    places = {0, 1, 100, 511, 512, 513, database_end - 1, database_end, end - 1}
    places |= {random.Random(5).randrange(end) for _ in range(12)}
    for number, size in enumerate(sorted(places)):
        cut = tmp_path / f"cut-{number}.tar"
        cut.write_bytes(whole[:size])
        fresh = Data(tmp_path / f"fresh-{number}")
        refused(fresh, cut)
        if size < database_end:
            refused(fresh, cut, partial=True)
            continue
        restored = fresh.restore(cut, partial=True)
        assert "The archive is cut off." in restored.faults
        lacking = [fault for fault in restored.faults if "isn't in the archive" in fault]
        assert restored.photos + len(lacking) == len(phone.photos)
        log = fresh.start()
        assert log.held() == {PHONE: len(phone.written)}
        fresh.stop()


def test_only_the_empty_blocks_at_the_end_may_be_missing(archive: Path, fresh: Data) -> None:
    os.truncate(archive, archive.stat().st_size - 1024)
    assert fresh.restore(archive).faults == ()


def test_a_flipped_bit_anywhere_is_said_or_harmless_and_the_rest_comes_back(
    archive: Path, tmp_path: Path, phone: Phone
) -> None:
    """Every place of the archive: all that comes back is what was sent, and what does not is
    named."""
    whole = archive.read_bytes()
    chance = random.Random(11)
    starts = [index * 512 for index in range(len(whole) // 512)]
    refusals: list[tuple[int, str]] = []
    for number in range(40):
        at = chance.choice(starts) + chance.randrange(512)
        damaged = bytearray(whole)
        damaged[at] ^= 1 << chance.randrange(8)
        place = tmp_path / "damaged.tar"
        place.write_bytes(damaged)
        fresh = Data(tmp_path / f"fresh-{number}")
        try:
            restored = fresh.restore(place, partial=True)
        except BackupError as error:
            refusals.append((at, str(error)))
            continue
        log = fresh.start()
        here = {sha256 for sha256 in phone.photos if log.photo_original(sha256) is not None}
        for sha256 in here:
            assert log.photo_original(sha256) == phone.photos[sha256]
        assert len(here) == len(phone.photos) or restored.faults
        values = {event["put"]: event["value"] for event in log.events_of("a1" * 16)}
        sent = {event["put"]: event["value"] for event in phone.written}
        assert values == sent or restored.faults
        fresh.stop()
    # nothing comes back at all only where the database or the manifest was hit
    database_end = 512 + len(entries_of(archive)[0][1])
    assert all(at < database_end or "manifest" in said for at, said in refusals), refusals


def test_a_damaged_header_costs_its_own_entry_alone(
    archive: Path, fresh: Data, phone: Phone
) -> None:
    whole = bytearray(archive.read_bytes())
    with tarfile.open(archive) as tar:
        second = tar.getmembers()[3]
    whole[second.offset + 3] ^= 1
    archive.write_bytes(whole)
    restored = fresh.restore(archive)
    assert restored.photos == len(phone.photos) - 1
    assert any("can't be read in 1 place" in fault for fault in restored.faults)
    assert any(second.name[7:19] in fault for fault in restored.faults)


def test_a_photo_that_looks_like_an_archive_is_taken_for_a_photo(
    data: Data, tmp_path: Path, fresh: Data
) -> None:
    """A phone may send anything as a photo; with its header damaged its bytes are read past."""
    filled(data)
    planted = io.BytesIO()
    with tarfile.open(fileobj=planted, mode="w") as tar:
        for name in ("reports.jsonl", "checklists/in-use.json"):
            entry = tarfile.TarInfo(name)
            entry.size = 4
            tar.addfile(entry, io.BytesIO(b"evil"))
    inside = planted.getvalue().rstrip(b"\0") + bytes(512)
    name = hashlib.sha256(inside).hexdigest()
    data.photo(name).write_bytes(inside)
    data.backup(tmp_path / "b.tar")
    whole = bytearray((tmp_path / "b.tar").read_bytes())
    with tarfile.open(tmp_path / "b.tar") as tar:
        header = tar.getmember(f"photos/{name}").offset
    whole[header + 3] ^= 1
    (tmp_path / "b.tar").write_bytes(whole)
    # which of the two it is depends on what was planted; neither takes the planted bytes
    with suppress(BackupError):
        fresh.restore(tmp_path / "b.tar", partial=True)
    assert not (fresh.folder / "checklists").exists()
    if fresh.ledger.exists():
        assert b"evil" not in fresh.ledger.read_bytes()
