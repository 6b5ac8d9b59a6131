"""Files that only their owner may read: whole or absent, synced before they are in place."""

from __future__ import annotations

import os
import stat
from pathlib import Path

import pytest

from bradawl.common.private_files import write_private_file


def test_only_the_owner_may_read_it(tmp_path: Path) -> None:
    file = tmp_path / "key.pem"
    write_private_file(file, b"secret")
    assert file.read_bytes() == b"secret"
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    write_private_file(file, b"newer")
    assert file.read_bytes() == b"newer"


def test_a_file_that_is_there_may_stay(tmp_path: Path) -> None:
    file = tmp_path / "key.pem"
    write_private_file(file, b"first", keep_existing=True)
    write_private_file(file, b"second", keep_existing=True)
    assert file.read_bytes() == b"first"
    assert list(tmp_path.iterdir()) == [file]


def test_its_bytes_are_synced_before_it_is_in_place_and_its_folder_after(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "key.pem"
    in_place: list[bool] = []
    sync = os.fsync

    def watched(descriptor: int) -> None:
        in_place.append(file.exists())
        sync(descriptor)

    monkeypatch.setattr(os, "fsync", watched)
    write_private_file(file, b"secret")
    assert in_place == [False, True]


def test_a_failing_disk_leaves_what_was_there(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "key.pem"
    write_private_file(file, b"whole")

    def fail(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", fail)
    with pytest.raises(OSError, match="No space"):
        write_private_file(file, b"other")
    assert file.read_bytes() == b"whole"
    assert list(tmp_path.iterdir()) == [file]
