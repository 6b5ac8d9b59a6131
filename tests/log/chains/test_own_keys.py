"""Keys of own chains without folders, and a note that cannot be written."""

from __future__ import annotations

import logging
from pathlib import Path

import pytest

from bradawl.log.chains.own_keys import OwnKeys


def test_without_folders_keys_and_notes_live_in_memory() -> None:
    keys = OwnKeys()
    device = keys.create().device
    keys.note(device, 3, "ab" * 32, "shop")
    assert keys.key_of(device) is not None
    assert keys.may_go_on(device, 3, "ab" * 32)
    assert not keys.may_go_on(device, 4, "ab" * 32)
    assert keys.writer_of(device) == "shop"
    assert OwnKeys().key_of(device) is None


def test_a_note_that_cannot_be_written_is_said_and_costs_no_entry(
    tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    place = tmp_path / "notes"
    place.write_text("a file where the folder would be")
    keys = OwnKeys(tmp_path / "keys", place)
    device = keys.create().device
    with caplog.at_level(logging.WARNING, "bradawl"):
        keys.note(device, 3, "ab" * 32, "shop")
    assert [record.levelname for record in caplog.records] == ["WARNING"]
    assert "could not be noted" in caplog.text
    assert not OwnKeys(tmp_path / "keys", place).may_go_on(device, 3, "ab" * 32)


def test_a_write_that_fails_leaves_no_part_of_a_file(tmp_path: Path) -> None:
    place = tmp_path / "notes"
    keys = OwnKeys(tmp_path / "keys", place)
    device = keys.create().device
    in_the_way = place / f"{device}.json" / "inside"
    in_the_way.mkdir(parents=True)
    keys.note(device, 3, "ab" * 32, "shop")
    assert [path.name for path in place.iterdir()] == [f"{device}.json"]
