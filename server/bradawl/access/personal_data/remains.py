"""What erasing cannot reach: told by name, before anybody confirms, and afterwards."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

_PHONES = (
    "A phone erases it when it next reaches this server. Until then it holds it, and what it has "
    "not sent yet may name the person again: look here once more when it has been here. Still to "
    "come:"
)


@dataclass(frozen=True)
class Remains:
    """Where a value may still be. Each entry is one thing in words, with its day where known.

    `backups` were made before and are known here; `phones` have not reached the server since,
    `revoked` ones never will; `reports` were issued; `copies` of the database lie in the data
    folder; `files` wait to be read in.
    """

    backups: tuple[str, ...] = ()
    phones: tuple[str, ...] = ()
    revoked: tuple[str, ...] = ()
    reports: tuple[str, ...] = ()
    copies: tuple[str, ...] = ()
    files: tuple[str, ...] = ()

    def sentences(self) -> Iterator[tuple[str, tuple[str, ...]]]:
        """(what cannot be reached and what happens there, the things by name)."""
        yield (
            "A backup made before holds everything still. Restored on this machine, it is erased "
            "again at once; restored elsewhere, the erasing must be repeated. Delete what you no "
            "longer need. "
            + ("Known here:" if self.backups else "None is noted here; there may be some."),
            self.backups,
        )
        if self.phones:
            yield _PHONES, self.phones
        if self.revoked:
            yield (
                "A revoked phone never reaches this server again, and keeps what it had:",
                self.revoked,
            )
        yield (
            "A PDF that was handed out cannot be called back. "
            + ("Issued for this inspection:" if self.reports else "None was issued from here."),
            self.reports,
        )
        if self.copies:
            yield (
                "A database that a restore set aside holds everything still. Delete it:",
                self.copies,
            )
        if self.files:
            yield (
                "A file that waits to be read in may hold it. Decide about it first:",
                self.files,
            )
