"""A backup says what is damaged or missing, and holds everything else."""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import sqlite3
import subprocess
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path

import pytest

from bradawl.backup.archive import DATABASE, MANIFEST, BackupError
from bradawl.backup.create import write_backup
from bradawl.backup.prove import prove
from bradawl.log.photos import photos
from bradawl.serving.backups.records import ServerRecords
from tests.backup.data import Data, entries_of, filled


def manifest_of(archive: Path) -> dict[str, object]:
    manifest: dict[str, object] = json.loads(dict(entries_of(archive))[MANIFEST])
    return manifest


def flip(path: Path) -> bytes:
    """Change one bit in the middle of a file; what it holds then."""
    data = bytearray(path.read_bytes())
    data[len(data) // 2] ^= 1
    path.write_bytes(data)
    return bytes(data)


def test_the_manifest_is_readable_by_people(data: Data, tmp_path: Path) -> None:
    filled(data)
    data.backup(tmp_path / "b.tar")
    manifest = manifest_of(tmp_path / "b.tar")
    assert (manifest["format"], manifest["events"], manifest["photos"]) == (2, 4, 1)
    assert (manifest["damaged"], manifest["missing"], manifest["problems"]) == ([], [], [])


def test_any_tar_program_reads_it(data: Data, tmp_path: Path) -> None:
    # GNU tar is the program outside of this project that says so
    phone = filled(data, photos=3)
    data.backup(tmp_path / "b.tar")
    listed = subprocess.run(
        ["tar", "-tf", tmp_path / "b.tar"], capture_output=True, text=True, check=True
    )
    assert listed.stderr == ""
    assert listed.stdout.splitlines() == [
        DATABASE,
        "reports.jsonl",
        *(f"photos/{sha256}" for sha256 in sorted(phone.photos)),
        MANIFEST,
    ]


def test_nothing_is_overwritten_by_a_backup(data: Data, tmp_path: Path) -> None:
    filled(data)
    target = tmp_path / "b.tar"
    target.write_text("something else")
    with pytest.raises(BackupError, match="already exists"):
        data.backup(target)
    assert target.read_text() == "something else"


def test_a_flipped_bit_in_a_photo_is_named_with_where_the_photo_belongs(
    data: Data, tmp_path: Path
) -> None:
    phone = filled(data, photos=3)
    damaged, *whole = phone.photos
    altered = flip(data.photo(damaged))
    contents = data.backup(tmp_path / "b.tar")
    (fault,) = contents.faults
    assert f"Photo {damaged[:12]}… was changed" in fault
    assert "(a1a1a1a1), item rust.sills" in fault
    entries = dict(entries_of(tmp_path / "b.tar"))
    assert {name for name in entries if name.startswith("photos/")} == {
        f"photos/{sha256}" for sha256 in whole
    }
    assert entries[f"damaged/photos/{damaged}"] == altered
    assert manifest_of(tmp_path / "b.tar")["damaged"] == [
        {"name": f"photos/{damaged}", "what": fault}
    ]
    # and all the rest comes back
    fresh = Data(tmp_path / "fresh")
    assert fault in fresh.restore(tmp_path / "b.tar").faults[0]
    log = fresh.start()
    assert [sha256 for sha256 in phone.photos if log.photo_original(sha256) is None] == [damaged]
    # which the phone sends once more
    assert log.photos.missing(list(phone.photos)) == [damaged]
    phone.send(log)
    assert log.photo_original(damaged) == phone.photos[damaged]
    fresh.stop()


def test_a_photo_without_its_file_is_named_with_where_it_belongs(
    data: Data, tmp_path: Path
) -> None:
    phone = filled(data, photos=2)
    gone, whole = phone.photos
    data.photo(gone).unlink()
    contents = data.backup(tmp_path / "b.tar")
    (fault,) = contents.faults
    assert f"Photo {gone[:12]}… was acknowledged, but its file is gone" in fault
    assert "item rust.sills" in fault
    assert contents.photos == 1
    assert f"photos/{whole}" in dict(entries_of(tmp_path / "b.tar"))
    assert manifest_of(tmp_path / "b.tar")["missing"] == [{"name": f"photos/{gone}", "what": fault}]


def test_a_photo_that_the_disk_does_not_give_is_named_and_the_others_are_kept(
    data: Data, tmp_path: Path
) -> None:
    phone = filled(data, photos=2)
    bad, _whole = phone.photos
    data.photo(bad).unlink()
    data.photo(bad).mkdir()  # reading it is an error of the disk: EISDIR
    contents = data.backup(tmp_path / "b.tar")
    assert "can't be read" in contents.faults[0]
    assert contents.photos == 1


def test_a_damaged_file_that_nothing_counts_on_is_kept_as_evidence_and_no_fault(
    data: Data, tmp_path: Path
) -> None:
    filled(data)
    stray = "ab" * 32
    data.photo(stray).write_bytes(b"cut off")
    contents = data.backup(tmp_path / "b.tar")
    assert contents.faults == []
    assert stray[:12] in contents.notes[0]
    assert dict(entries_of(tmp_path / "b.tar"))[f"damaged/photos/{stray}"] == b"cut off"


def test_an_altered_entry_is_said_and_everything_is_kept(data: Data, tmp_path: Path) -> None:
    phone = filled(data)
    with closing(sqlite3.connect(data.database)) as database, database:
        database.execute(
            "UPDATE log_batch SET body = replace(CAST(body AS TEXT), 'note 1', 'note 7')"
        )
    contents = data.backup(tmp_path / "b.tar")
    assert contents.faults
    assert contents.photos == len(phone.photos)
    fresh = Data(tmp_path / "fresh")
    restored = fresh.restore(tmp_path / "b.tar")
    assert [f"When it was made: {fault}" for fault in contents.faults] == list(restored.faults)


def test_a_database_that_is_none_any_more_is_kept_as_evidence_beside_whole_photos(
    data: Data, tmp_path: Path
) -> None:
    phone = filled(data, photos=2)
    noise = bytes(range(256)) * 200
    data.database.write_bytes(noise)
    contents = data.backup(tmp_path / "b.tar")
    assert "database" in contents.faults[0]
    entries = dict(entries_of(tmp_path / "b.tar"))
    assert entries[f"damaged/{DATABASE}"] == noise
    assert sum(name.startswith("photos/") for name in entries) == len(phone.photos)
    with pytest.raises(BackupError, match="no database that could be restored"):
        Data(tmp_path / "fresh").restore(tmp_path / "b.tar")


def test_without_a_database_the_photos_are_kept_and_without_both_nothing_is_written(
    data: Data, tmp_path: Path
) -> None:
    with pytest.raises(BackupError, match="BRADAWL_DATA"):
        data.backup(tmp_path / "empty.tar")
    assert not (tmp_path / "empty.tar").exists()
    filled(data)
    data.database.unlink()
    contents = data.backup(tmp_path / "b.tar")
    assert (contents.photos, len(contents.faults)) == (1, 1)


@pytest.mark.parametrize(
    ("change", "word"),
    [
        (lambda target: target.parent.rmdir() or target.parent.write_text("a file"), "can't be"),
        (lambda target: target.mkdir(), "already exists"),
    ],
)
def test_a_place_that_takes_no_backup_is_said_in_a_sentence(
    data: Data, tmp_path: Path, change: Callable[[Path], object], word: str
) -> None:
    filled(data)
    target = tmp_path / "place" / "b.tar"
    target.parent.mkdir()
    change(target)
    with pytest.raises(BackupError, match=word):
        data.backup(target)


@pytest.fixture
def small_disk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A real file system of 3 MiB."""
    monkeypatch.setattr(photos, "RESERVE_BYTES", 0)
    place = tmp_path / "small"
    place.mkdir()
    subprocess.run(["mount", "-t", "tmpfs", "-o", "size=3m", "tmpfs", str(place)], check=True)
    try:
        yield place
    finally:
        subprocess.run(["umount", "-l", str(place)], check=True)


def fill(disk: Path) -> Path:
    """Take all the room that is left; the file that takes it."""
    ballast = disk / "ballast"
    with ballast.open("wb") as file:
        while (free := shutil.disk_usage(disk).free) > 0:
            file.write(bytes(free))
            file.flush()
    return ballast


def test_a_full_data_disk_does_not_stop_a_backup_to_another(
    small_disk: Path, tmp_path: Path
) -> None:
    data = Data(small_disk / "data")
    filled(data)
    fill(small_disk)
    contents = data.backup(tmp_path / "b.tar")
    assert (contents.faults, contents.photos) == ([], 1)
    assert prove(tmp_path / "b.tar", ServerRecords(), [tmp_path]).whole


def test_a_full_data_disk_under_a_running_server_does_not_stop_it_either(
    small_disk: Path, tmp_path: Path
) -> None:
    data = Data(small_disk / "data")
    filled(data)
    data.start()
    data.access.audit.record("Ada", "something")  # in the write-ahead log
    fill(small_disk)
    assert data.backup(tmp_path / "b.tar").faults == []
    data.stop()


def test_a_killed_server_on_a_full_disk_leaves_a_log_that_the_backup_joins(
    small_disk: Path, tmp_path: Path
) -> None:
    data = Data(small_disk / "data")
    filled(data)
    with closing(sqlite3.connect(data.database, isolation_level=None)) as database:
        database.execute("PRAGMA journal_mode=WAL")
        database.execute("INSERT INTO access_seen VALUES ('late', 1, 1)")
        # as a kill leaves it: the log is there, the shared memory is not
        shutil.copytree(data.folder, tmp_path / "killed")
    shutil.rmtree(data.folder)
    shutil.copytree(tmp_path / "killed", data.folder)
    Path(f"{data.database}-shm").unlink()
    assert Path(f"{data.database}-wal").stat().st_size > 0
    fill(small_disk)
    assert data.backup(tmp_path / "b.tar").faults == []
    with tmp_path.joinpath("copy").open("wb") as copy:
        copy.write(dict(entries_of(tmp_path / "b.tar"))[DATABASE])
    with closing(sqlite3.connect(tmp_path / "copy")) as restored:
        assert restored.execute("SELECT device FROM access_seen").fetchall() == [("late",)]


def test_a_disk_without_room_for_the_backup_is_said_before_it_is_filled(
    small_disk: Path, data: Data
) -> None:
    phone = filled(data, photos=2)
    (sha256, _other) = phone.photos
    big = os.urandom(4_000_000)
    with closing(sqlite3.connect(data.database)) as database, database:
        database.execute("UPDATE log_blob SET bytes = ?", (len(big),))
    data.photo(sha256).write_bytes(big)
    with pytest.raises(BackupError, match=r"needs .* has .* free"):
        data.backup(small_disk / "b.tar")
    assert list(small_disk.iterdir()) == []


def test_a_disk_that_fills_up_meanwhile_leaves_no_half_backup(small_disk: Path, data: Data) -> None:
    filled(data)
    sha256 = hashlib.sha256(big := os.urandom(4_000_000)).hexdigest()
    data.photo(sha256).write_bytes(big)  # without a row nobody counted on its room
    with pytest.raises(BackupError, match="is full"):
        write_backup(data.store, small_disk / "b.tar")
    assert list(small_disk.iterdir()) == []
