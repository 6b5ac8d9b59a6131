"""A restore that is killed at any moment leaves the old records or the new, whole and usable."""

from __future__ import annotations

import os
import shutil
import tempfile
import urllib.request
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import pytest

from bradawl.common.file_swap import journal_of
from tests.backup.kill_loop import Scene, count_calls, kill, killed_at
from tests.phone.server import Server


@pytest.fixture(scope="module")
def scene() -> Iterator[Scene]:
    # in memory where there is such a place: what counts is the order of calls, not the disk
    place = "/dev/shm" if os.access("/dev/shm", os.W_OK) else None
    with tempfile.TemporaryDirectory(prefix="bradawl-kill-", dir=place) as folder:
        yield Scene(Path(folder))


@pytest.fixture(scope="module")
def calls(scene: Scene) -> Counter[str]:
    return count_calls(scene)


#: Of the calls that change names, each; of the others some. `python -m tests.backup.kill_loop`
#: does all.
@pytest.mark.parametrize(
    ("call", "every"), [("rename", 1), ("unlink", 4), ("rmdir", 1), ("fsync", 5), ("pwrite64", 19)]
)
def test_the_next_start_finds_the_old_records_or_the_new(
    scene: Scene, calls: Counter[str], call: str, every: int
) -> None:
    assert calls[call] >= 1
    states = set()
    for number in range(1, calls[call] + 1, every):
        data = killed_at(scene, call, number)
        states.add(scene.state(data))
        scene.restore(data)  # and the restore can be done once more
        assert scene.state(data) == "new"
        shutil.rmtree(data.folder)
    assert states <= {"old", "new"}
    if call == "rename":
        assert states == {"old", "new"}


def test_whoever_completes_a_restore_may_be_killed_as_well(
    scene: Scene, calls: Counter[str]
) -> None:
    completed = 0
    for number in range(1, calls["rename"] + 1):
        data = killed_at(scene, "rename", number)
        if journal_of(data.database).exists():
            kill(data.start, "rename", 1)
            assert scene.state(data) == "new"
            completed += 1
        shutil.rmtree(data.folder)
    assert completed >= 3


def test_a_real_server_started_after_the_kill_shows_everything(
    scene: Scene, calls: Counter[str]
) -> None:
    """The last rename puts the database in place: until then there is none."""
    data = killed_at(scene, "rename", calls["rename"])
    assert not data.database.exists()
    server = Server(data.folder)
    server.start()
    try:
        for page in (f"visits/{'a1' * 16}", *(f"photos/{sha256}" for sha256 in scene.new.photos)):
            with urllib.request.urlopen(f"{server.origin}/desk/{page}", timeout=60) as answer:
                assert answer.status == 200
    finally:
        server.kill()
    assert scene.state(data) == "new"
    assert not journal_of(data.database).exists()
    assert not list(Path(data.folder).glob("*restoring*"))
