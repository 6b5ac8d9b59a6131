"""History of the daily backups: which there are, how each was proven, when the next is due.

Everything is told by the files of one folder, so that a restart knows as much as before:
`bradawl-DAY-TIME.tar` and beside it `….json`, what a test restore brought back; `failed.json`, why
the last attempt came to nothing. No library is loaded here: the server asks every minute.
"""

from __future__ import annotations

import fcntl
import json
import os
import re
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import asdict, dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from bradawl.language import moment, text

__all__ = ["History", "Proof", "Run", "moment_of", "now", "warnings"]

EVERY = timedelta(days=1)
#: Older than this, the last proven backup is a reason to warn.
OLD = timedelta(days=3)
RETRY_FIRST, RETRY_LAST = timedelta(minutes=15), timedelta(hours=6)
#: A clock that is set back must not leave days without a backup.
AHEAD = timedelta(hours=1)
_NAME = re.compile(r"bradawl-(\d{4}-\d\d-\d\d-\d{6})\.tar")
_TIME = "%Y-%m-%d-%H%M%S"
_FAILED = "failed.json"
_FAILED_BYTES = 4096
MOST_WHY = 600  # characters; JSON writes one in at most six bytes


@dataclass(frozen=True)
class Proof:
    """What a test restore brought back. Times are ISO in UTC; no `faults` means everything.

    `photos_lacking` are the SHA-256 of photos that the records count on and that did not come.
    """

    made: str
    proven: str
    events: int
    photos: int
    faults: tuple[str, ...]
    photos_lacking: tuple[str, ...] = ()

    @property
    def whole(self) -> bool:
        return not self.faults


@dataclass(frozen=True)
class Run:
    """One backup: `made` as its name says, `proof` None where none was finished."""

    archive: Path
    made: datetime
    size_bytes: int
    proof: Proof | None

    @property
    def whole(self) -> bool:
        return self.proof is not None and self.proof.whole


@dataclass(frozen=True)
class Failure:
    """The last attempt came to nothing: when, why, and how often in a row."""

    at: datetime
    why: str
    times: int


class History:
    """The backups in `folder`, of which the newest `kept` are kept."""

    def __init__(self, folder: Path, kept: int) -> None:
        self.folder = folder
        self.kept = kept

    def runs(self) -> list[Run]:
        """Every backup, the newest first."""
        try:
            names = os.listdir(self.folder)
        except OSError:
            return []
        runs = []
        for name in names:
            match = _NAME.fullmatch(name)
            if match is not None:
                with suppress(OSError, ValueError):
                    runs.append(self._run(name, match[1]))
        return sorted(runs, key=lambda run: run.made, reverse=True)

    def _run(self, name: str, time: str) -> Run:
        archive = self.folder / name
        made = datetime.strptime(time, _TIME).replace(tzinfo=UTC)
        return Run(archive, made, archive.stat().st_size, _read_proof(_proof_file(archive)))

    def failure(self) -> Failure | None:
        """Why the last attempt came to nothing; None when it did not."""
        try:
            stored = json.loads((self.folder / _FAILED).read_bytes())
            return Failure(
                datetime.fromisoformat(stored["at"]), str(stored["why"]), int(stored["times"])
            )
        except (OSError, ValueError, KeyError, TypeError):
            return None

    def due(self, now: datetime) -> datetime:
        """When the next backup is to be made."""
        proven = [run.made for run in self.runs() if run.proof is not None]
        newest = max((made for made in proven if made <= now + AHEAD), default=None)
        due = now if newest is None else newest + EVERY
        failure = self.failure()
        if failure is None or failure.at > now + AHEAD:
            return due
        wait: timedelta = min(RETRY_FIRST * 2 ** min(failure.times - 1, 16), RETRY_LAST)
        return max(due, failure.at + wait)

    def name_at(self, now: datetime) -> Path:
        """Where a backup that is made now goes: the next second that no other has."""
        archive = self.folder / f"bradawl-{now:{_TIME}}.tar"
        return self.name_at(now + timedelta(seconds=1)) if archive.exists() else archive

    def note_proof(self, archive: Path, proof: Proof) -> None:
        """Keep what a test restore brought back. Raises OSError."""
        _write(_proof_file(archive), asdict(proof))
        self._note_failure({})

    def note_failure(self, now: datetime, why: str) -> None:
        """Keep why an attempt came to nothing. Raises OSError."""
        before = self.failure()
        times = 1 if before is None else before.times + 1
        self.folder.mkdir(parents=True, exist_ok=True, mode=0o700)
        self._note_failure({"at": now.isoformat(), "why": why[:MOST_WHY], "times": times})

    def _note_failure(self, value: dict[str, object]) -> None:
        """Into a file that always has the same size: a full disk has room for it then."""
        file = self.folder / _FAILED
        written = json.dumps(value).encode().ljust(_FAILED_BYTES)
        try:
            _write_bytes(file, written)
        except OSError:
            with file.open("r+b") as out:
                out.write(written)
                out.flush()
                os.fsync(out.fileno())

    def prune(self) -> list[Path]:
        """Remove what is older than the backups to keep; what went.

        The newest `kept` that a test restore brought back stay, whatever it found, and the newest
        whole one in any case: what is damaged today must not push out what was whole.
        """
        runs = self.runs()
        proven = [run for run in runs if run.proof is not None]
        stay = [*proven[: self.kept], *_newest_whole(runs), *runs[:1]]
        return self._remove([run for run in runs if run not in stay])

    def make_room(self, lacking_bytes: int) -> list[Path]:
        """Remove the oldest backups until so much room is won, or none where that is not enough.

        The newest that was proven stays, and the newest whole one.
        """
        runs = self.runs()
        stay = [*[run for run in runs if run.proof is not None][:1], *_newest_whole(runs)]
        going: list[Run] = []
        won_bytes = 0
        for run in reversed(runs):
            if won_bytes < lacking_bytes and run not in stay:
                going.append(run)
                won_bytes += run.size_bytes
        return self._remove(going) if won_bytes >= lacking_bytes else []

    def _remove(self, runs: Sequence[Run]) -> list[Path]:
        for run in runs:
            run.archive.unlink(missing_ok=True)
            _proof_file(run.archive).unlink(missing_ok=True)
        return [run.archive for run in runs]

    def sweep(self) -> None:
        """Remove what an attempt that was killed has left; only for whoever holds the turn."""
        for path in (*self.folder.glob(".bradawl-*.part"), *self.folder.glob("*.json.new")):
            path.unlink(missing_ok=True)

    @contextmanager
    def turn(self) -> Iterator[bool]:
        """Whether it is this process's turn to make backups: another may be at it. Raises OSError.

        The turn ends with the block, or with the process.
        """
        self.folder.mkdir(parents=True, exist_ok=True, mode=0o700)
        if not (self.folder / _FAILED).exists():
            with suppress(OSError):
                self._note_failure({})
        lock = os.open(self.folder / ".lock", os.O_RDWR | os.O_CREAT | os.O_CLOEXEC, 0o600)
        try:
            try:
                fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
            except BlockingIOError:
                yield False
            else:
                yield True
        finally:
            os.close(lock)


def now() -> datetime:
    """The time in UTC."""
    return datetime.now(UTC)


def moment_of(iso: str) -> str:
    """A time as a backup has it (ISO), as the reader writes it; anything else as it stands."""
    try:
        return moment(datetime.fromisoformat(iso))
    except ValueError:
        return iso


def _newest_whole(runs: Sequence[Run]) -> list[Run]:
    return [run for run in runs if run.whole][:1]


def warnings(history: History, at: datetime) -> list[str]:
    """Why somebody should look at the backups, in sentences; [] when all is well."""
    runs = history.runs()
    proven = next((run for run in runs if run.proof is not None), None)
    sentences: list[str] = []
    failure = history.failure()
    if failure is not None:
        sentences.append(text("server-backup-failed", why=failure.why))
    if proven is not None:
        assert proven.proof is not None
        age = at - datetime.fromisoformat(proven.proof.proven)
        if age > OLD:
            sentences.append(text("server-backup-old", count=age.days))
        count = len(proven.proof.faults)
        if count:
            sentences.append(text("server-backup-damaged", count=count))
    return sentences


def _proof_file(archive: Path) -> Path:
    return archive.with_suffix(".json")


def _read_proof(file: Path) -> Proof | None:
    try:
        stored: dict[str, Any] = json.loads(file.read_bytes())
        datetime.fromisoformat(stored["proven"])
        return Proof(
            str(stored["made"]),
            str(stored["proven"]),
            int(stored["events"]),
            int(stored["photos"]),
            tuple(str(fault) for fault in stored["faults"]),
            tuple(str(sha256) for sha256 in stored["photos_lacking"]),
        )
    except (OSError, ValueError, KeyError, TypeError):
        return None


def _write(file: Path, value: Any) -> None:
    _write_bytes(file, json.dumps(value, ensure_ascii=False, indent=1).encode())


def _write_bytes(file: Path, data: bytes) -> None:
    """All or nothing, and durable. Raises OSError."""
    fresh = file.with_name(f"{file.name}.new")
    try:
        descriptor = os.open(fresh, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
        with os.fdopen(descriptor, "wb") as out:
            out.write(data)
            out.flush()
            os.fsync(out.fileno())
        fresh.replace(file)
    except OSError:
        fresh.unlink(missing_ok=True)
        raise
