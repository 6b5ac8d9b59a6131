"""The keys of the chains that this server writes itself, and proof that one may go on.

A database that was copied back looks like itself: only something outside of it can tell that
entries are missing. So how far each own chain has come is noted in a second folder too, outside
the data folder, and a chain goes on only where both agree; otherwise a new one continues it.
"""

from __future__ import annotations

import json
import logging
from collections.abc import Callable
from pathlib import Path

from bradawl.common.device_keys import DeviceKey
from bradawl.common.private_files import write_private_file

logger = logging.getLogger(__name__)


class OwnKeys:
    """Private keys of own chains in `keys`, and how far each has come in `notes`.

    Without folders both live in memory: every run then begins new chains. `new_key` makes keys;
    tests that live the same life twice give their own.
    """

    def __init__(
        self,
        keys: Path | None = None,
        notes: Path | None = None,
        new_key: Callable[[], DeviceKey] = DeviceKey.create,
    ) -> None:
        self._keys = keys
        self._notes = notes
        self._new_key = new_key
        self._open: dict[str, DeviceKey] = {}
        self._noted: dict[str, tuple[int, str]] = {}
        self._writers: dict[str, str] = {}

    def create(self) -> DeviceKey:
        """A new key, on the disk when this returns. Raises OSError."""
        key = self._new_key()
        if self._keys is not None:
            self._keys.mkdir(parents=True, exist_ok=True, mode=0o700)
            write_private_file(self._keys / f"{key.device}.pem", key.pem())
        self._open[key.device] = key
        return key

    def key_of(self, device: str) -> DeviceKey | None:
        """The key of an own chain; None when it is not on this machine."""
        if device not in self._open and self._keys is not None:
            try:
                self._open[device] = DeviceKey.read(self._keys / f"{device}.pem")
            except (OSError, ValueError):
                return None
        return self._open.get(device)

    def may_go_on(self, device: str, seq: int, head: str) -> bool:
        """Whether a chain stands where this machine left it."""
        if self._noted.get(device) != (seq, head):
            self._read_note(device)  # another process of this machine may have gone on
        return self._noted.get(device) == (seq, head)

    def writer_of(self, device: str) -> str:
        """As whom an own chain was written; empty where this machine has no note of it."""
        if device not in self._writers:
            self._read_note(device)
        return self._writers.get(device, "")

    def _read_note(self, device: str) -> None:
        if self._notes is None:
            return
        try:
            noted = json.loads((self._notes / f"{device}.json").read_bytes())
            self._noted[device] = (int(noted["seq"]), str(noted["head"]))
            self._writers[device] = str(noted["writer"])
        except (OSError, ValueError, KeyError, TypeError):
            return

    def note(self, device: str, seq: int, head: str, writer: str) -> None:
        """Remember how far a chain has come. A note that cannot be written costs a new chain."""
        self._noted[device] = (seq, head)
        self._writers[device] = writer
        if self._notes is None:
            return
        noted = {"seq": seq, "head": head, "writer": writer}
        try:
            self._notes.mkdir(parents=True, exist_ok=True, mode=0o700)
            write_private_file(self._notes / f"{device}.json", json.dumps(noted).encode())
        except OSError as error:
            logger.warning("How far an own chain has come could not be noted: %s", error)
