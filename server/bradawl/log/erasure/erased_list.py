"""What was erased here, in a file outside of the database: a restored one may lack the orders."""

from __future__ import annotations

import json
import os
from collections.abc import Iterable, Sequence
from pathlib import Path
from threading import Lock

#: Device, seq and commitment of an event.
Named = tuple[str, int, str]


class ErasedList:
    """Device, number and commitment of each erased event, one JSON line each.

    A database that is restored from a backup may lack the orders and have the values again. The
    file holds nothing of what was erased. Without one the list lives in memory.
    """

    def __init__(self, file: Path | None) -> None:
        self._file = file
        self._lock = Lock()
        self._kept: list[Named] | None = None

    def entries(self) -> list[Named]:
        """(device, seq, commit) of each; a line that was cut off is passed over."""
        with self._lock:
            if self._kept is None:
                self._kept = list(self._read())
            return list(self._kept)

    def _read(self) -> Iterable[Named]:
        try:
            lines = [] if self._file is None else self._file.read_text("utf-8").splitlines()
        except (OSError, UnicodeDecodeError):
            return
        for line in lines:
            try:
                row = json.loads(line)
                yield str(row["device"]), int(row["seq"]), str(row["commit"])
            except (ValueError, KeyError, TypeError):
                continue

    def add(self, erased: Sequence[Named]) -> None:
        """Note what was erased; on the disk when this returns. Raises OSError."""
        listed = set(self.entries())
        new = [entry for entry in erased if entry not in listed]
        with self._lock:
            self._kept = [*(self._kept or ()), *new]
            if self._file is None or not new:
                return
            self._file.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
            rows = [{"device": device, "seq": seq, "commit": commit} for device, seq, commit in new]
            descriptor = os.open(self._file, os.O_WRONLY | os.O_APPEND | os.O_CREAT, 0o600)
            with os.fdopen(descriptor, "wb") as out:
                # begins with a line end: the last line may have been cut off
                out.write(b"".join(b"\n" + json.dumps(row).encode() for row in rows))
                out.flush()
                os.fsync(out.fileno())
