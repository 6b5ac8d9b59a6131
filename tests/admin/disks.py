"""Small real disks for tests, which can be filled and mounted for reading only."""

from __future__ import annotations

import shutil
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path


class Disk:
    """A file system in memory, mounted at `place`."""

    def __init__(self, place: Path, size: str) -> None:
        self.place = place
        place.mkdir()
        _run("mount", "-t", "tmpfs", "-o", f"size={size}", "tmpfs", str(place))

    def fill(self) -> None:
        """Take all the room that is left."""
        with (self.place / "ballast").open("ab") as file:
            while (free := shutil.disk_usage(self.place).free) > 0:
                file.write(bytes(free))
                file.flush()

    def empty(self) -> None:
        """Give that room back."""
        (self.place / "ballast").unlink()

    def read_only(self) -> None:
        """Mount it for reading only; nobody may have a file open for writing."""
        self._remount("ro")

    def writable(self) -> None:
        self._remount("rw")

    def _remount(self, how: str) -> None:
        # nothing but this one option: in a namespace the others name ids that are not in it
        options = ("--options-source", "disable", "-o", f"remount,{how}")
        _run("mount", *options, "tmpfs", str(self.place))


@contextmanager
def mounted(place: Path, size: str) -> Iterator[Disk]:
    """A disk that is there for the block."""
    disk = Disk(place, size)
    try:
        yield disk
    finally:
        _run("umount", "-l", str(place))


def _run(*command: str) -> None:
    subprocess.run(command, check=True)
