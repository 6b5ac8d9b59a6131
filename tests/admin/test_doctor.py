"""`bradawl doctor` tells one cause from another, and each has its own remedy."""

from __future__ import annotations

import os
import shutil
import sqlite3
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from bradawl import cli
from bradawl.log.photos import photos
from tests.admin.disks import Disk, mounted
from tests.backup.data import PHONE, Data, Phone, filled

pytestmark = pytest.mark.mounts

RESTORE = "restore the latest backup"


@pytest.fixture
def disk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Disk]:
    monkeypatch.setattr(photos, "RESERVE_BYTES", 0)
    with mounted(tmp_path / "disk", "20m") as disk:
        yield disk


class Place:
    """A data folder that `bradawl doctor` looks at."""

    def __init__(self, folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        self.data = Data(folder)
        self.phone: Phone = filled(self.data, photos=3)
        monkeypatch.setenv("BRADAWL_DATA", str(folder))

    def copies(self) -> list[Path]:
        """The copies to show, made now if they are not there."""
        log = self.data.start()
        for sha256 in self.phone.photos:
            assert log.photos.served(sha256)
        self.data.stop()
        return [self.data.photos.path_of(sha256, "served") for sha256 in self.phone.photos]


@pytest.fixture
def place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Place:
    return Place(tmp_path / "data", monkeypatch)


@pytest.fixture
def said(capsys: pytest.CaptureFixture[str]) -> Said:
    return Said(capsys)


class Said:
    """What the doctor says."""

    def __init__(self, capsys: pytest.CaptureFixture[str]) -> None:
        self._capsys = capsys

    def to(self, *options: str, code: int = 1) -> str:
        self._capsys.readouterr()
        assert cli.main(["doctor", *options]) == code
        out, err = self._capsys.readouterr()
        # the operational log says for itself where it cannot be written
        assert not err or err.startswith("The log cannot be written")
        return out


def test_a_whole_folder_has_no_fault(place: Place, said: Said) -> None:
    assert said.to(code=0).startswith("All is well. Everything is whole: ")


def test_a_disk_that_may_only_be_read_is_no_reason_to_restore_anything(
    disk: Disk, monkeypatch: pytest.MonkeyPatch, said: Said
) -> None:
    Place(disk.place / "data", monkeypatch)
    disk.read_only()
    report = said.to()
    assert "is read-only right now" in report
    assert "mount it for writing again" in report
    assert RESTORE not in report
    assert "6 entries, 3 photos" in report


def test_a_full_disk_asks_for_room_and_nothing_else(
    disk: Disk, monkeypatch: pytest.MonkeyPatch, said: Said
) -> None:
    Place(disk.place / "data", monkeypatch)
    monkeypatch.setattr("bradawl.serving.backups.places.disk_errors.LITTLE_ROOM_BYTES", 10_000)
    monkeypatch.setattr(photos, "RESERVE_BYTES", 64_000_000)
    report = said.to()
    assert "no more photos are taken, only entries" in report
    disk.fill()
    report = said.to()
    assert "is full" in report
    assert "Free up space on it" in report
    assert RESTORE not in report


def test_a_folder_of_another_user_asks_for_the_right_user(
    place: Place, said: Said, monkeypatch: pytest.MonkeyPatch
) -> None:
    # root may everything: what the rights say to anybody else is asked of the system here
    mine = place.data.folder

    def access(path: os.PathLike[str] | str, how: int, **_: object) -> bool:
        return not (how & os.W_OK and Path(path).is_relative_to(mine))

    monkeypatch.setattr(os, "access", access)
    report = said.to()
    assert "isn't allowed to use" in report
    assert "it belongs to user" in report
    assert RESTORE not in report


def test_a_database_that_another_program_holds_is_said_to_be_held(
    place: Place, said: Said, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("bradawl.database.connection.BUSY_MS", 50)
    with closing(sqlite3.connect(place.data.database, isolation_level=None)) as other:
        other.execute("PRAGMA journal_mode=DELETE")
        other.execute("BEGIN EXCLUSIVE")
        report = said.to()
    assert "Another program is holding" in report
    assert "Close whatever has it open" in report
    assert RESTORE not in report


def test_a_database_that_is_gone_is_not_made_anew_but_missed(place: Place, said: Said) -> None:
    place.data.database.unlink()
    report = said.to()
    assert "There's no file" in report
    assert not place.data.database.exists()


def test_a_folder_that_is_not_there_is_named(
    tmp_path: Path, said: Said, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("BRADAWL_DATA", str(tmp_path / "typo"))
    assert "There's no data folder" in said.to()
    assert not (tmp_path / "typo").exists()


def test_a_database_that_is_none_is_damaged(place: Place, said: Said) -> None:
    place.data.database.write_bytes(b"something else" * 1000)
    report = said.to()
    assert "isn't a whole database" in report
    assert RESTORE in report


def test_a_photo_folder_that_is_gone_is_one_fault_and_not_one_for_each_photo(
    place: Place, said: Said, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("bradawl.log.integrity.photo_checks.MANY", 3)
    shutil.rmtree(place.data.folder / "photos")
    report = said.to()
    assert "has none of the 3 photos" in report
    assert "mounted" in report
    assert report.startswith("One thing needs a look.")


def test_a_photo_that_may_not_be_read_is_not_called_damaged(place: Place, said: Said) -> None:
    bad = place.data.photo(next(iter(place.phone.photos)))
    bad.unlink()
    bad.mkdir()
    report = said.to()
    assert "can't be read" in report
    assert "was changed" not in report


def test_a_copy_that_was_swapped_for_another_picture_is_never_shown_and_made_again(
    place: Place, said: Said
) -> None:
    first, second, _third = place.copies()
    right = first.read_bytes()
    first.write_bytes(second.read_bytes())
    report = said.to()
    assert "isn't the one that was made" in report
    assert report.startswith("One thing needs a look.")
    log = place.data.start()
    assert log.photo(next(iter(place.phone.photos))) == right
    place.data.stop()
    first.write_bytes(second.read_bytes())
    assert "1 copy of a photo was made again" in said.to("--repair", code=0)
    assert first.read_bytes() == right
    assert said.to(code=0).startswith("All is well. Everything is whole: ")


def test_an_index_that_lost_a_row_is_made_again(place: Place, said: Said) -> None:
    log = place.data.start()
    place.data.access.audit.record("Ada", "something")
    for number in range(3):
        place.data.access.links.make("a1" * 16, "condition", f"link {number}", 7)
    log.close()
    with closing(sqlite3.connect(place.data.database)) as database:
        (root,) = database.execute(
            "SELECT rootpage FROM sqlite_master WHERE name = 'ix_access_link_visit'"
        ).fetchone()
        (size,) = database.execute("PRAGMA page_size").fetchone()
        database.execute("PRAGMA journal_mode=DELETE")
    # a leaf of an index without any row (fileformat2.html, 1.6): 10, no free block, no cell
    empty = bytes([10, 0, 0, 0, 0]) + size.to_bytes(2, "big") + bytes(1)
    with place.data.database.open("r+b") as file:
        file.seek((root - 1) * size)
        file.write(empty + bytes(size - len(empty)))
    assert "index" in said.to()
    assert "indexes were made again" in said.to("--repair", code=0)
    assert said.to(code=0).startswith("All is well. Everything is whole: ")


def test_a_restore_that_was_cut_off_is_completed_before_anything_is_examined(
    place: Place, said: Said, tmp_path: Path
) -> None:
    from bradawl.common import file_swap

    place.data.backup(tmp_path / "b.tar")
    carried_out = file_swap.carry_out
    try:
        file_swap.carry_out = lambda _database: False  # type: ignore[assignment]
        place.data.restore(tmp_path / "b.tar", replace=True)
    finally:
        file_swap.carry_out = carried_out
    assert file_swap.journal_of(place.data.database).exists()
    assert said.to(code=0).startswith("All is well. Everything is whole: ")
    assert not file_swap.journal_of(place.data.database).exists()


def test_a_restore_under_way_in_another_process_is_waited_for_and_then_said(
    place: Place, said: Said, monkeypatch: pytest.MonkeyPatch
) -> None:
    from bradawl.common import file_swap

    monkeypatch.setattr(file_swap.Use.begin, "__defaults__", (0.1,))
    held, done = threading.Event(), threading.Event()

    def restoring() -> None:
        with file_swap.held_alone(place.data.database):
            held.set()
            done.wait()

    other = threading.Thread(target=restoring)
    other.start()
    held.wait()
    try:
        assert "being restored" in said.to()
    finally:
        done.set()
        other.join()


def test_the_command_itself_says_it_in_a_process_of_its_own(place: Place) -> None:
    place.data.photo(next(iter(place.phone.photos))).unlink()
    ended = subprocess.run(
        [sys.executable, "-m", "bradawl.cli", "doctor"],
        env={**os.environ, "BRADAWL_DATA": str(place.data.folder)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert (ended.returncode, ended.stderr) == (1, "")
    assert "its file is gone" in ended.stdout
    assert PHONE[:8] not in ended.stdout
