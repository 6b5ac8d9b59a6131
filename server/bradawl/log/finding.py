"""What an examination finds: a fault, where it is, and what to do about it."""

from __future__ import annotations

from dataclasses import dataclass

RESTORE = (
    "Stop the server, keep a copy of the data folder as it is, and restore the latest backup. "
    "Phones then send again whatever the backup lacks and they still hold."
)


@dataclass(frozen=True)
class Finding:
    """A fault: a stable code, what is wrong and where, and what to do."""

    code: str
    what: str
    remedy: str
    photo: str = ""  # its SHA-256, where the fault is a photo's
