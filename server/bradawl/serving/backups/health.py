"""Whether all is well, in one line: what `bradawl doctor` begins with and the desk shows."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from bradawl.backup.history import moment_of, now, warnings
from bradawl.common.private_files import write_private_file
from bradawl.language import moment, text
from bradawl.language.counts import counts
from bradawl.log.photos.photos import RESERVE_BYTES
from bradawl.serving.backups.places import examine_places
from bradawl.serving.backups.state import history_of

if TYPE_CHECKING:
    from pathlib import Path

    from bradawl.common.settings import Settings
    from bradawl.log.integrity.doctor import Health

#: In a data folder that was moved to another machine: when, as an ISO time in UTC.
MOVED = "moved-out.json"


@dataclass(frozen=True)
class Standing:
    """How a data folder stands: one line, and each thing that needs a look in a sentence."""

    line: str
    problems: tuple[str, ...] = ()

    @property
    def well(self) -> bool:
        return not self.problems


def standing_of(settings: Settings) -> Standing:
    """What is known without reading everything: disks, rights, and what the last backup proved."""
    places = [f"{found.what} {found.remedy}" for found in examine_places(settings, RESERVE_BYTES)]
    problems = [*places, *_known(settings)]
    return Standing(_line(problems, _proven(settings)), tuple(problems))


def standing_after(settings: Settings, read: Health | None, faults: Sequence[str]) -> Standing:
    """The same once everything was read: `faults` are all that were found.

    `read` is None where the records could not be opened.
    """
    problems = [*faults, *_known(settings)]
    whole = ""
    if read is not None:
        whole = text(
            "server-health-read",
            **counts(events=read.events, photos=read.photos, devices=read.devices),
        )
    return Standing(_line(problems, whole), tuple(problems))


def note_moved(data: Path) -> None:
    """Keep in a data folder that everything in it was moved to another machine. Raises OSError."""
    written = json.dumps({"at": datetime.now(UTC).isoformat()}).encode()
    write_private_file(data / MOVED, written)


def _line(problems: Sequence[str], whole: str) -> str:
    if problems:
        return text("server-health-look", count=len(problems))
    return text("server-health-well", whole=whole)


def _known(settings: Settings) -> list[str]:
    """What is wrong with the backups, and whether this folder is used no more."""
    history = history_of(settings)
    return [*_moved(settings.data), *(warnings(history, now()) if history is not None else ())]


def _moved(data: Path) -> list[str]:
    try:
        noted = datetime.fromisoformat(json.loads((data / MOVED).read_bytes())["at"])
    except (OSError, ValueError, KeyError, TypeError):
        return []
    return [text("server-health-moved", when=moment(noted), file=str(data / MOVED))]


def _proven(settings: Settings) -> str:
    """What the last backup that was restored for a test says of the records."""
    history = history_of(settings)
    if history is None:
        off = settings.backups is None
        return text("server-health-unbacked" if off else "server-backup-elsewhere")
    proofs = [run.proof for run in history.runs() if run.proof is not None]
    if not proofs:
        return text("server-health-new")
    last = proofs[0]
    return text(
        "server-health-proven",
        when=moment_of(last.proven),
        **counts(events=last.events, photos=last.photos),
    )
