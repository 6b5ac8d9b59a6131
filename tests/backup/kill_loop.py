"""Kills a restore at one system call after another, and says what is in place then.

`python -m tests.backup.kill_loop` does so at every one that changes anything on the disk, SQLite's
own included; the tests do it at some. strace stops the real process as it enters the call.
"""

from __future__ import annotations

import os
import re
import shutil
import signal
import subprocess
import sys
import tempfile
from collections import Counter
from collections.abc import Callable
from pathlib import Path

from tests.backup.data import PHONE, Data, Phone, filled

#: System calls that change what is on a disk, or make it durable.
CALLS = (
    *("openat", "write", "pwrite64", "ftruncate", "fsync", "fdatasync"),
    *("rename", "unlink", "unlinkat", "mkdir", "rmdir", "chmod", "fchmod"),
)
OLD_LEDGER, NEW_LEDGER = "old ledger\n", "new ledger\n"
OLD_PHOTOS, NEW_PHOTOS = 3, 2


class Scene:
    """A server's records, and a backup of others that is restored over them."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.archive = folder / "b.tar"
        self.template = folder / "template"
        other = Data(folder / "other")
        self.new = self._fill(other, NEW_PHOTOS, NEW_LEDGER, "mine: new")
        other.backup(self.archive)
        self.old = self._fill(Data(self.template), OLD_PHOTOS, OLD_LEDGER, "mine: old")

    def _fill(self, data: Data, photos: int, ledger: str, checklist: str) -> Phone:
        phone = filled(data, photos=photos)
        data.ledger.write_text(ledger)
        draft = data.folder / "checklists" / "mine" / "draft" / "a.yaml"
        draft.parent.mkdir(parents=True)
        draft.write_text(checklist)
        return phone

    def data(self, name: str) -> Data:
        """A copy of the old records, in a folder of its own."""
        shutil.copytree(self.template, self.folder / name)
        return Data(self.folder / name)

    def restore(self, data: Data) -> None:
        data.restore(self.archive, replace=True)

    def state(self, data: Data) -> str:
        """`old` or `new` when everything of that is there and whole, else what is wrong.

        Opens the records as a server does that is started next.
        """
        log = data.start()
        try:
            held = log.held().get(PHONE)
            state, phone, ledger = {
                len(self.old.written): ("old", self.old, OLD_LEDGER),
                len(self.new.written): ("new", self.new, NEW_LEDGER),
            }[held or 0]
            draft = data.folder / "checklists" / "mine" / "draft" / "a.yaml"
            assert data.ledger.read_text() == ledger
            assert draft.read_text() == f"mine: {state}"
            events = log.events_of("a1" * 16)
            assert [event["put"] for event in events] == [one["put"] for one in phone.written]
            for sha256, photo in phone.photos.items():
                assert log.photo_original(sha256) == photo
            assert log.photos.missing(list(phone.photos)) == []
        finally:
            data.stop()
        return state


def _stopped(work: Callable[[], object]) -> int:
    """A child that has stopped itself, and when it goes on does some work and ends with 0."""
    child = os.fork()
    if child == 0:
        code = 1
        try:
            os.kill(os.getpid(), signal.SIGSTOP)
            work()
            code = 0
        finally:
            os._exit(code)
    os.waitpid(child, os.WUNTRACED)
    return child


def _traced(child: int, *options: str) -> int:
    """Let a stopped child go on under strace; its wait status."""
    with subprocess.Popen(
        ["strace", "-f", "-p", str(child), "-e", f"trace={','.join(CALLS)}", *options],
        stderr=subprocess.PIPE,
        text=True,
    ) as strace:
        assert strace.stderr is not None
        line = strace.stderr.readline()
        assert "attached" in line, line
        os.kill(child, signal.SIGCONT)
        _, status = os.waitpid(child, 0)
        strace.stderr.read()
    return status


def count_calls(scene: Scene) -> Counter[str]:
    """How often a restore makes each of the calls."""
    data = scene.data("counted")
    trace = scene.folder / "trace"
    child = _stopped(lambda: scene.restore(data))
    assert _traced(child, "-o", str(trace)) == 0
    shutil.rmtree(data.folder)
    names = re.findall(r"^\d+ +(\w+)\(", trace.read_text(), re.MULTILINE)
    return Counter(name for name in names if name in CALLS)


def killed_at(scene: Scene, call: str, number: int) -> Data:
    """The folder of a restore that was killed as it made a call for the n-th time."""
    data = scene.data(f"{call}-{number}")
    kill(lambda: scene.restore(data), call, number)
    return data


def kill(work: Callable[[], object], call: str, number: int) -> None:
    """Kill a process that does some work as it makes a call for the n-th time."""
    child = _stopped(work)
    status = _traced(child, "-o", "/dev/null", "-e", f"inject={call}:signal=SIGKILL:when={number}")
    assert os.WIFSIGNALED(status), f"{call} {number}: not killed ({status})"


def main() -> int:
    """Every call; 1 when any left something that is neither the old records nor the new."""
    wrong = 0
    states: Counter[str] = Counter()
    with tempfile.TemporaryDirectory() as folder:
        scene = Scene(Path(folder))
        counted = count_calls(scene)
        print(dict(counted), flush=True)
        for call, most in sorted(counted.items()):
            for number in range(1, most + 1):
                try:
                    data = killed_at(scene, call, number)
                    states[scene.state(data)] += 1
                    scene.restore(data)  # and the restore can be done once more
                    assert scene.state(data) == "new"
                except Exception as error:
                    wrong += 1
                    print(f"{call} {number}: {error!r}", flush=True)
                shutil.rmtree(scene.folder / f"{call}-{number}")
    print(dict(states), f"{wrong} wrong", flush=True)
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
