"""What is arriving for a bucket waits in a folder of one process, and nobody else's is touched."""

from __future__ import annotations

import os
import stat
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from bradawl.common.private_folder import make_own_folder, remove_leftovers
from bradawl.log.photos.storage import open_photo_store

BUCKET = "s3://bucket/photos"

#: A server in the middle of an upload, until its input ends.
UPLOADING = """
import pathlib, sys
from bradawl.log.photos.storage import open_photo_store
place = pathlib.Path(sys.argv[1]) if sys.argv[1] else None
store = open_photo_store("s3://bucket/photos", place)
(store.incoming / "ab.part").write_bytes(b"half a photo")
print(store.incoming, flush=True)
sys.stdin.read()
"""


@contextmanager
def uploading(place: Path | str) -> Iterator[tuple[subprocess.Popen[str], Path]]:
    process = subprocess.Popen(
        [sys.executable, "-c", UPLOADING, str(place)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        env={**os.environ, "AWS_DEFAULT_REGION": "us-east-1"},
    )
    assert process.stdout is not None
    try:
        folder = Path(process.stdout.readline().strip())
        assert (folder / "ab.part").is_file()
        yield process, folder
    finally:
        process.kill()
        process.communicate()


@pytest.fixture(autouse=True)
def region(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("AWS_DEFAULT_REGION", "us-east-1")


def test_a_server_that_starts_leaves_the_uploads_of_another_alone(tmp_path: Path) -> None:
    with uploading(tmp_path) as (_, folder), uploading(tmp_path) as (_, other):
        assert folder != other
        os.utime(folder / "ab.part", (0, 0))  # however long ago its last bytes came
        open_photo_store(BUCKET, tmp_path)
        assert (folder / "ab.part").is_file()
        assert (other / "ab.part").is_file()


def test_what_a_killed_server_left_is_removed_at_the_next_start(tmp_path: Path) -> None:
    with uploading(tmp_path) as (process, folder):
        process.kill()
        process.wait()
        assert (folder / "ab.part").is_file()
        open_photo_store(BUCKET, tmp_path)
        assert not folder.exists()


@pytest.mark.parametrize("below_data", [True, False])
def test_a_server_that_ends_by_itself_leaves_nothing(tmp_path: Path, below_data: bool) -> None:
    with uploading(tmp_path if below_data else "") as (process, folder):
        process.communicate("")
        assert process.returncode == 0
        assert not folder.exists()


@pytest.mark.parametrize("below_data", [True, False])
def test_nobody_else_can_look_into_it(tmp_path: Path, below_data: bool) -> None:
    before = os.umask(0)
    try:
        folder = make_own_folder(tmp_path / "new" if below_data else None)
    finally:
        os.umask(before)
    assert stat.S_IMODE(folder.stat().st_mode) == 0o700
    if below_data:
        assert stat.S_IMODE(folder.parent.stat().st_mode) == 0o700


def test_a_folder_that_somebody_prepared_is_not_used(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """In a temporary folder of everybody's, a name that can be known can be taken (CWE-377)."""
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    prepared = tmp_path / "elsewhere"
    prepared.mkdir(mode=0o777)
    for name in ("bradawl-incoming", "bradawl", "incoming"):
        (tmp_path / name).symlink_to(prepared)
    folder = open_photo_store(BUCKET).incoming
    assert folder.parent == tmp_path
    assert not folder.is_symlink()
    (folder / "x").write_text("x")
    assert list(prepared.iterdir()) == []


def test_two_stores_share_no_folder(tmp_path: Path) -> None:
    first = open_photo_store(BUCKET, tmp_path / "one").incoming
    second = open_photo_store(BUCKET, tmp_path / "two").incoming
    third = open_photo_store(BUCKET, tmp_path / "two").incoming
    assert len({first, second, third}) == 3
    remove_leftovers(tmp_path / "two")
    assert second.is_dir()
    assert third.is_dir()


def test_only_folders_of_processes_are_removed(tmp_path: Path) -> None:
    kept = tmp_path / "notes"
    kept.mkdir()
    (tmp_path / "process-link").symlink_to(kept)
    (tmp_path / "process-file").write_text("x")
    (tmp_path / "process-left").mkdir()
    remove_leftovers(tmp_path)
    assert kept.is_dir()
    assert {one.name for one in tmp_path.iterdir()} == {
        "notes", "process-link", "process-file", ".lock",
    }  # fmt: skip


def test_whoever_only_reads_leaves_no_folder(tmp_path: Path) -> None:
    open_photo_store(BUCKET, tmp_path / "incoming")
    assert list(tmp_path.iterdir()) == []
