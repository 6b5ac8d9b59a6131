"""Keeps which reports this shop has issued, so that a newer one can name the one it replaces.

One JSON line a report in a file of the data folder, appended and synced; never rewritten.
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from pathlib import Path

__all__ = ["Entry", "Ledger"]


@dataclass(frozen=True)
class Entry:
    """One report: `made` is ISO 8601, `replaces` the number of an earlier one or empty.

    `digest` (SHA-256) is of what was printed, whatever the day: the same content printed again is
    the same report under the same number.
    """

    number: str
    visit: str
    edition: str
    made: str
    digest: str
    replaces: str


class Ledger:
    """The issued reports, oldest first."""

    def __init__(self, file: Path) -> None:
        self._file = file

    def entries(self) -> Iterator[Entry]:
        """Every entry that can be read; a line cut off by a power failure is passed over."""
        if not self._file.exists():
            return
        for line in self._file.read_text(encoding="utf-8").splitlines():
            try:
                yield Entry(**json.loads(line))
            except (ValueError, TypeError):
                continue

    def last(self, visit: str, edition: str) -> Entry | None:
        """The newest report of that visit and edition."""
        last = None
        for entry in self.entries():
            if (entry.visit, entry.edition) == (visit, edition):
                last = entry
        return last

    def find(self, number: str) -> Entry | None:
        """The entry of a report number."""
        return next((entry for entry in self.entries() if entry.number == number), None)

    def newer(self, number: str) -> Entry | None:
        """The newest report that replaced the one of that number; None where none did."""
        newest = None
        for entry in self.entries():  # a report is entered after the one that it replaces
            if entry.replaces == (newest.number if newest else number):
                newest = entry
        return newest

    def add(self, entry: Entry) -> None:
        """Append an entry; it is on disk when this returns."""
        self._file.parent.mkdir(parents=True, exist_ok=True)
        line = json.dumps(asdict(entry), ensure_ascii=False, sort_keys=True) + "\n"
        with self._file.open("a+b") as out:
            if out.tell() and not _ends_a_line(self._file):
                out.write(b"\n")
            out.write(line.encode())
            out.flush()
            os.fsync(out.fileno())


def _ends_a_line(file: Path) -> bool:
    with file.open("rb") as opened:
        opened.seek(-1, os.SEEK_END)
        return opened.read(1) == b"\n"
