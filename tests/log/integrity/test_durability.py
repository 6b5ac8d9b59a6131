"""What is acknowledged has been fsynced before, in an order that no loss of power undoes.

Spies on the calls that make bytes and names durable (POSIX: fsync of a file for its bytes, fsync of
its folder for its name), since no test can take the power away.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import event
from starlette.testclient import TestClient

from bradawl.log.event_log import Log
from tests.log.photos.pictures import encoded, sha256
from tests.log.photos.test_photos import put
from tests.log.server import DESK, VISIT, new_log
from tests.log.sync.test_sync import PUSH
from tests.log.writer import Writer


class Spy:
    """What was made durable, moved and committed, in order: (what, path)."""

    def __init__(self) -> None:
        self.seen: list[tuple[str, Path]] = []

    def add(self, what: str, path: str | Path) -> None:
        self.seen.append((what, Path(path)))

    def place(self, what: str, path: Path) -> int:
        """Where something stands. Raises AssertionError when it never happened."""
        assert (what, path) in self.seen, (what, path, self.seen)
        return self.seen.index((what, path))

    def commits(self) -> list[int]:
        return [number for number, (what, _) in enumerate(self.seen) if what == "commit"]


@pytest.fixture
def spy(monkeypatch: pytest.MonkeyPatch) -> Spy:
    spy = Spy()
    honest_fsync, honest_replace = os.fsync, os.replace

    def fsync(descriptor: int) -> None:
        spy.add("fsync", os.readlink(f"/proc/self/fd/{descriptor}"))
        honest_fsync(descriptor)

    def replace(source: Any, target: Any) -> None:
        honest_replace(source, target)
        spy.add("rename", target)

    monkeypatch.setattr(os, "fsync", fsync)
    monkeypatch.setattr(os, "replace", replace)
    return spy


@pytest.fixture
def log(tmp_path: Path, spy: Spy) -> Iterator[Log]:
    made = new_log(tmp_path)
    event.listen(made.engine, "commit", lambda _connection: spy.add("commit", tmp_path))
    spy.seen.clear()
    yield made
    made.close()


def test_a_photos_bytes_then_its_name_then_its_row(
    client: TestClient, log: Log, spy: Spy, tmp_path: Path
) -> None:
    data = encoded()
    name = sha256(data)
    answer = put(client, data)
    assert answer.status_code == 201
    place = tmp_path / "photos" / "original" / name[:2] / name
    written = [
        number
        for number, (what, path) in enumerate(spy.seen)
        if what == "fsync" and path.name.startswith(f"{name}.")
    ]
    assert written, "the photo's bytes were never made durable"
    renamed = spy.place("rename", place)
    settled = spy.place("fsync", place.parent)
    assert written[0] < renamed < settled < spy.commits()[-1]


def test_the_folders_of_photos_are_durable_before_the_first_photo(spy: Spy, tmp_path: Path) -> None:
    new_log(tmp_path).close()
    for folder in ("original", "served", ""):
        spy.place("fsync", tmp_path / "photos" / folder)


def test_events_are_committed_before_the_answer(client: TestClient, log: Log, spy: Spy) -> None:
    assert client.post(PUSH, json=Writer().fill(2).batch()).status_code == 200
    assert len(spy.commits()) == 1


def test_the_key_of_an_own_chain_is_durable_before_its_first_event(
    log: Log, spy: Spy, tmp_path: Path
) -> None:
    """Or a loss of power would leave a chain that nobody can continue or prove to be the shop's."""
    log.append(DESK, VISIT, [("about/place", "here")])
    (device,) = log.own_devices()
    (commit,) = spy.commits()
    keys = tmp_path / "keys"
    assert _durable(spy, keys / f"{device}.pem") < commit


def test_how_far_an_own_chain_has_come_is_noted_after_its_commit_and_durably(
    log: Log, spy: Spy, tmp_path: Path
) -> None:
    """Before it, a lost commit would leave a note of events that there are not."""
    notes = tmp_path.parent / f"{tmp_path.name}-chain-notes"
    for _ in range(2):
        spy.seen.clear()
        log.append(DESK, VISIT, [("about/place", "here")])
        (device,) = log.own_devices()
        note = notes / f"{device}.json"
        assert spy.commits()[-1] < spy.place("rename", note) < _durable(spy, note)


def _durable(spy: Spy, path: Path) -> int:
    """When a file was durable: its bytes, its name, and the folder that has the name."""
    written = [
        number
        for number, (what, one) in enumerate(spy.seen)
        if what == "fsync" and one.parent == path.parent and path.name in one.name
    ]
    assert written, f"the bytes of {path.name} were never made durable"
    renamed, settled = spy.place("rename", path), spy.place("fsync", path.parent)
    assert written[0] < renamed < settled
    return settled
