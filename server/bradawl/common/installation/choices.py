"""What the shop chose at the desk, in a file of the data folder; the environment goes before it."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass
from pathlib import Path

from bradawl.common.private_files import write_private_file

FILE = "settings.json"
_MOST_BYTES = 64_000


@dataclass(frozen=True)
class Choices:
    """Empty where nothing was chosen.

    `region` is one of `settings.REGIONS`; `backups` the folder of the daily backups; `network` says
    whether `bradawl` alone serves the shop's network; `asked` names the questions of the first run
    that were answered or skipped.
    """

    region: str = ""
    backups: str = ""
    network: bool = False
    asked: tuple[str, ...] = ()


def read(data: Path) -> Choices:
    """The choices kept in a data folder. Raises ValueError for a file that is something else."""
    try:
        with (data / FILE).open("rb") as file:
            written = file.read(_MOST_BYTES)
    except OSError:  # a folder that cannot be read is explained by whoever opens the database
        return Choices()
    stored = json.loads(written)
    if not isinstance(stored, dict):
        raise ValueError(FILE)
    asked = stored.get("asked")
    return Choices(
        region=_text(stored.get("region")),
        backups=_text(stored.get("backups")),
        network=stored.get("network") is True,
        asked=tuple(filter(None, map(_text, asked))) if isinstance(asked, list) else (),
    )


def keep(data: Path, choices: Choices) -> None:
    """Raises OSError."""
    data.mkdir(parents=True, exist_ok=True, mode=0o700)
    written = json.dumps(asdict(choices), ensure_ascii=False, indent=1)
    write_private_file(data / FILE, written.encode())


def _text(value: object) -> str:
    return value if isinstance(value, str) else ""
