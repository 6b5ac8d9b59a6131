"""The daily backups: where they lie, and what the desk shows of them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from bradawl.backup.history import History, Run, now

if TYPE_CHECKING:
    from bradawl.common.settings import Settings


@dataclass(frozen=True)
class ShownRun:
    """One backup as a page shows it; times are milliseconds since 1970."""

    name: str
    made_ms: int
    size_bytes: int
    proven_ms: int | None
    events: int
    photos: int
    faults: tuple[str, ...]

    @property
    def megabytes(self) -> str:
        return f"{self.size_bytes / 1e6:.1f}"


@dataclass(frozen=True)
class BackupState:
    """`off` is the message that says why none are made, empty where they are.

    `last` is the last proven one;
    `due_ms` is when the next is made, None where it is due already.
    """

    off: str = ""
    folder: str = ""
    kept: int = 0
    due_ms: int | None = None
    last: ShownRun | None = None
    runs: tuple[ShownRun, ...] = ()


def history_of(settings: Settings) -> History | None:
    """The backups that a server makes by itself, as chosen by now; None where it makes none."""
    settings = settings.now()
    if settings.backups is None or not settings.database_url.startswith("sqlite:///"):
        return None
    return History(settings.backups, settings.backups_kept)


def state_of(history: History | None, *, switched_off: bool) -> BackupState:
    """What there is to say now."""
    if history is None:
        return BackupState(off="server-backup-off" if switched_off else "server-backup-elsewhere")
    at = now()
    runs = tuple(_shown(run) for run in history.runs())
    due = history.due(at)
    return BackupState(
        folder=str(history.folder),
        kept=history.kept,
        due_ms=_ms(due) if due > at else None,
        last=next((run for run in runs if run.proven_ms is not None), None),
        runs=runs,
    )


def _shown(run: Run) -> ShownRun:
    proof = run.proof
    if proof is None:
        return ShownRun(run.archive.name, _ms(run.made), run.size_bytes, None, 0, 0, ())
    proven = _ms(datetime.fromisoformat(proof.proven))
    return ShownRun(
        run.archive.name,
        _ms(run.made),
        run.size_bytes,
        proven,
        proof.events,
        proof.photos,
        proof.faults,
    )


def _ms(moment: datetime) -> int:
    return round(moment.timestamp() * 1000)
