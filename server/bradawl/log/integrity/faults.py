"""What an examination finds: a fault, where it is, and what to do about it."""

from __future__ import annotations

from dataclasses import dataclass

RESTORE = (
    "Stop the server, keep a copy of the data folder as it is, and restore the latest backup. "
    "Phones then send again whatever the backup lacks and they still hold."
)
#: What helps where entries, or what follows from them, are damaged: phones may hold them still.
REPAIR = (
    "Run “bradawl doctor --repair”: what follows from other entries is worked out anew, damaged "
    "ones are passed over, and phones that still hold them bring them at their next sync. What no "
    "phone brings comes from the latest backup."
)


@dataclass(frozen=True)
class Finding:
    """A fault: a stable code, what is wrong and where, and what to do."""

    code: str
    what: str
    remedy: str
    photo: str = ""  # its SHA-256, where the fault is a photo's
