"""What an examination finds: a fault, where it is, and what to do about it."""

from __future__ import annotations

from dataclasses import dataclass

from bradawl.language import Message, message

RESTORE = message("server-remedy-damaged")
#: What helps where entries, or what follows from them, are damaged: phones may hold them still.
REPAIR = message("server-remedy-repair")
#: Ids of remedies that say to restore the latest backup.
RESTORING = ("server-remedy-damaged", "server-remedy-missing", "server-remedy-photos-gone")


@dataclass(frozen=True)
class Finding:
    """A fault: a stable code, what is wrong and where, and what to do."""

    code: str
    what: Message
    remedy: Message
    photo: str = ""  # its SHA-256, where the fault is a photo's
