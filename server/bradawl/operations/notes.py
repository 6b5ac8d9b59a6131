"""`note`: one act, one line, under an agreed name with named fields."""

from __future__ import annotations

import logging
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from bradawl.language import Message, Reader, reading_as
from bradawl.operations.context import Operation, current

#: Every name a note may have, and what it says to a person. README.md lists the fields.
EVENTS = {
    "server.started": "Server started",
    "server.stopped": "Server stopped",
    "server.not_started": "Server did not start",
    "server.not_ready": "The application cannot be put together",
    "command.ended": "Command ended",
    "access": "Access",
    "sync.push": "Events received",
    "sync.pull": "Events given",
    "seal.arrived": "Seal arrived",
    "sync.aside": "Events kept aside",
    "blob.kept": "Photo or recording kept",
    "report.made": "Report made",
    "report.not_compared": "Report could not be printed again to compare its pages",
    "report.countersigned": "Report countersigned",
    "report.prints_otherwise": "Report printed again from its record came out different",
    "report.failed": "Report could not be made",
    "signers.unreadable": "The list of known signers cannot be read",
    "backup.made": "Backup made",
    "update.backed_up": "Written by an older Bradawl; backup made before the update",
    "backup.proven": "Backup proven by a test restore",
    "backup.failed": "Backup or restore failed",
    "backup.restored": "Backup restored",
    "demo.loaded": "Demo loaded",
    "storage.failed": "Storage failed",
    "refused": "Refused",
    "failed": "Unexpected error",
    "request": "Request",
    "authority.changed": "The authority that phones trust",
    "log.gap": "Lines of this log were lost",
}

#: Not shown on a terminal, unless everything is: they come often or were said already.
ROUTINE = frozenset(
    {
        "server.started",
        "server.not_started",
        "authority.changed",
        "sync.pull",
        "blob.kept",
        "request",
    }
)


@dataclass(frozen=True)
class Entry:
    """What a log record carries besides the message.

    Notes that agree in the fields named by `same` are written once and then counted.
    """

    event: str
    fields: dict[str, Any]
    operation: Operation | None
    same: Sequence[str] = field(default=())

    def everything(self) -> dict[str, Any]:
        """The fields and who it was for; what a note says itself stands before what is known."""
        context = self.operation.fields() if self.operation is not None else {}
        own = {name: value for name, value in self.fields.items() if value != ""}
        return {**own, **{name: value for name, value in context.items() if name not in own}}


def note(
    logger: logging.Logger,
    event: str,
    message: str = "",
    *,
    level: int = logging.INFO,
    error: BaseException | None = None,
    same: Sequence[str] = (),
    **fields: Any,
) -> None:
    """Write one line to the operational log.

    Args:
        logger: the module's own, `logging.getLogger(__name__)`.
        event: one of `EVENTS`.
        message: words for a person, where those of `EVENTS` do not do.
        level: of `logging`.
        error: what was not expected; its traceback is written.
        same: fields by which a repetition is known; it is then counted and not written.
        fields: ids, names of devices and people, counts; an error or a Message is written in
            English, as all of the log. Never a token, a code, a passphrase, a
            seller's data or anything else that was typed into a record.
    """
    if logger.isEnabledFor(level):
        with reading_as(Reader()):
            written = {
                name: str(value) if isinstance(value, BaseException | Message) else value
                for name, value in fields.items()
            }
        entry = Entry(event, written, current(), same)
        logger.log(
            level, message or EVENTS.get(event, event), exc_info=error, extra={"entry": entry}
        )
