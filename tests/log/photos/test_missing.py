"""A photo whose file is gone or cut short is not held: phones that have it send it again."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from bradawl.log.event_log import Log
from bradawl.log.photos.storage import FolderPhotoStore
from tests.log.photos.pictures import encoded, sha256
from tests.log.photos.test_photos import put
from tests.log.server import client_of, new_log

PHOTO = encoded()
MISSING = "/api/v1/blobs/missing"


@pytest.fixture
def store(log: Log) -> FolderPhotoStore:
    assert isinstance(log.photos.store, FolderPhotoStore)
    return log.photos.store


def asked(log: Log, *photos: bytes) -> list[str]:
    """What the server answers to a phone that asks about photos."""
    with client_of(log) as client:
        answer = client.post(MISSING, json={"sha256": [sha256(photo) for photo in photos]})
    assert answer.status_code == 200
    missing: list[str] = answer.json()["missing"]
    return missing


@pytest.mark.parametrize("left", [None, b"", PHOTO[:-1]])
def test_a_file_that_is_gone_or_cut_short_in_a_folder_is_asked_for_and_taken_again(
    log: Log, store: FolderPhotoStore, left: bytes | None
) -> None:
    other = encoded("JPEG", 30, 20)
    path = store.path_of(sha256(PHOTO), "original")
    with client_of(log) as client:
        assert put(client, PHOTO).status_code == 201
        assert put(client, other).status_code == 201
        if left is None:
            path.unlink()
        else:
            path.write_bytes(left)
        assert asked(log, PHOTO, other) == [sha256(PHOTO)]
        assert put(client, PHOTO).status_code == 200
    assert asked(log, PHOTO, other) == []
    assert log.photo_original(sha256(PHOTO)) == PHOTO


def test_what_was_removed_in_a_folder_under_a_running_server_is_made_again(
    log: Log, store: FolderPhotoStore
) -> None:
    with client_of(log) as client:
        assert put(client, PHOTO).status_code == 201
        shutil.rmtree(store.root)
        assert asked(log, PHOTO) == [sha256(PHOTO)]
        assert put(client, PHOTO).status_code == 200
    assert log.photo_original(sha256(PHOTO)) == PHOTO


def test_after_a_restart_nobody_has_to_run_doctor(tmp_path: Path) -> None:
    log = new_log(tmp_path)
    with client_of(log) as client:
        assert put(client, PHOTO).status_code == 201
    assert asked(log, PHOTO) == []
    run = log.run
    log.close()
    if isinstance(log.photos.store, FolderPhotoStore):
        shutil.rmtree(tmp_path / "photos" / "original")
    else:
        log.photos.store._client.delete_object(  # type: ignore[attr-defined]
            Bucket=log.photos.store.bucket,  # type: ignore[attr-defined]
            Key=log.photos.store._key(sha256(PHOTO), "original"),  # type: ignore[attr-defined]
        )
    again = new_log(tmp_path)
    # with another run phones ask about all their photos (tests/world/phone.py, rule 4)
    assert again.run != run or again.engine.dialect.name == "postgresql"
    assert asked(again, PHOTO) == [sha256(PHOTO)]
    with client_of(again) as client:
        assert put(client, PHOTO).status_code == 200
    assert again.photo_original(sha256(PHOTO)) == PHOTO
    again.close()


def test_what_was_found_damaged_is_asked_for_until_it_has_come_once_more(log: Log) -> None:
    with client_of(log) as client:
        assert put(client, PHOTO).status_code == 201
        log.photos.ask_again([sha256(PHOTO)])
        assert asked(log, PHOTO) == [sha256(PHOTO)]
        assert put(client, PHOTO).status_code == 200
        assert asked(log, PHOTO) == []
