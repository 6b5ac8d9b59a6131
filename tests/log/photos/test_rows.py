"""Rows of photos that end together: one commit, each told its own outcome, all or none."""

from __future__ import annotations

import time
from collections.abc import Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from typing import Any

import pytest
from sqlalchemy import event, func, select
from sqlalchemy.exc import DBAPIError

from bradawl.database.connection import reading
from bradawl.log.event_log import Log
from bradawl.log.format.tables import PHOTOS
from bradawl.log.photos.rows import PhotoRows
from tests.log.photos.pictures import sha256
from tests.log.server import DEVICE, MS


def row(number: int) -> dict[str, Any]:
    return {
        "sha256": sha256(b"%d" % number),
        "type": "image/jpeg",
        "bytes": 10,
        "width": 3,
        "height": 2,
        "device": DEVICE,
        "received_ms": MS,
    }


def added_together(rows: PhotoRows, numbers: Sequence[int]) -> list[Future[bool]]:
    """Add rows in as many threads, all of which have come before the first has its turn."""
    with ThreadPoolExecutor(len(numbers)) as pool:
        with rows._turn:
            done = [pool.submit(rows.add, row(number)) for number in numbers]
            while len(rows._waiting) < len(numbers):
                time.sleep(0.001)
        return done


def held(log: Log) -> int:
    with reading(log.engine) as connection:
        return int(connection.execute(select(func.count()).select_from(PHOTOS)).scalar_one())


def test_rows_that_wait_are_written_in_one_commit(log: Log) -> None:
    commits = []
    event.listen(log.engine, "commit", commits.append)
    done = added_together(PhotoRows(log.engine, log.photos.store.settle), range(8))
    assert [one.result() for one in done] == [True] * 8
    assert len(commits) == 1
    assert held(log) == 8


def test_the_same_photo_sent_twice_at_once_is_new_once(log: Log) -> None:
    rows = PhotoRows(log.engine, log.photos.store.settle)
    done = added_together(rows, [1, 1, 2, 1])
    assert sorted(one.result() for one in done) == [False, False, True, True]
    assert not rows.add(row(2))
    assert held(log) == 2


def test_a_commit_that_fails_keeps_none_and_says_so_to_all(log: Log) -> None:
    rows = PhotoRows(log.engine, log.photos.store.settle)

    def fails(_connection: Any) -> None:
        raise OSError("The disk is gone")

    event.listen(log.engine, "commit", fails)
    for one in added_together(rows, range(3)):
        with pytest.raises((OSError, DBAPIError)):
            one.result()
    event.remove(log.engine, "commit", fails)
    assert held(log) == 0
    assert rows.add(row(0))
