"""Where Bradawl keeps things and how it is reached: read once from the environment."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, Literal

from bradawl.common.installation import choices
from bradawl.language import message
from bradawl.language.reader import REGION_CURRENCY

Mode = Literal["local", "lan", "proxy"]
DEFAULT_PORT = 8477
#: The least size of a file of the log, in MB: a few of its longest lines.
LEAST_LOG_MB = 0.1
MOST_BACKUPS = 1000
#: Where the shop is: it sets units, money, dates and paper, unless a reader chose others.
REGIONS = tuple(REGION_CURRENCY)


class StartError(Exception):
    """Bradawl cannot work with what it finds; the message says what, where and what would help."""


class SettingError(ValueError):
    """A setting that cannot be read; the message names it and says what would be right."""


@dataclass(frozen=True)
class LogSettings:
    """Of the operational log: its form, how large a file grows, how many are kept."""

    json: bool = False
    file_bytes: int = 10_000_000
    files: int = 5


@dataclass(frozen=True)
class Settings:
    """One server's settings.

    `data` holds the database, the photos and the keys. `database_url` and `photo_store` default
    to files below it; a PostgreSQL URL and an `s3://bucket/prefix` move them elsewhere. `mode`
    says who can reach the server: this machine only, the workshop's network, or a reverse proxy.
    `chain_notes` says, outside `data`, how far the server's own chains have come: a data folder
    that was copied back is recognized by it.
    `timestamp_url` is an RFC 3161 time-stamp server for signatures on reports, empty for none.
    `backups` is where the server makes a backup every day, None for not at all; of these the
    newest `backups_kept` are kept. `region` is one of `REGIONS`. `fixed` names those of `region`
    and `backups` that the environment decides, so that nothing chosen at the desk changes them.
    """

    data: Path
    database_url: str
    photo_store: str
    chain_notes: Path
    mode: Mode = "local"
    host: str = "127.0.0.1"
    port: int = DEFAULT_PORT
    timestamp_url: str = ""
    log: LogSettings = LogSettings()
    backups: Path | None = None
    backups_kept: int = 7
    region: str = REGIONS[0]
    fixed: frozenset[str] = frozenset()

    @property
    def log_file(self) -> Path:
        """Where the operational log is written; older files beside it end in a number."""
        return self.data / "logs" / "bradawl.log"

    @property
    def keys(self) -> Path:
        """The folder of private keys, never in the database nor in its backup."""
        return self.data / "keys"

    @property
    def chain_keys(self) -> Path:
        """The folder with the keys of the chains that the server writes itself."""
        return self.keys / "chains"

    @property
    def erased_list(self) -> Path:
        """What was erased, outside `data`: a restored data folder is held against it."""
        return self.chain_notes.parent / "erased.jsonl"

    def now(self) -> Settings:
        """The same with what was chosen at the desk meanwhile."""
        try:
            chosen = choices.read(self.data)
        except ValueError:
            return self  # the next start says so
        return self._with(chosen)

    def _with(self, chosen: choices.Choices) -> Settings:
        changed: dict[str, Any] = {}
        if "region" not in self.fixed and chosen.region in REGIONS:
            changed["region"] = chosen.region
        if "backups" not in self.fixed:
            changed["backups"] = Path(chosen.backups or self.data / "backups")
        return replace(self, **changed)

    def with_mode(self, mode: Mode, host: str, port: int) -> Settings:
        return replace(self, mode=mode, host=host, port=port)


def from_environment(environ: Mapping[str, str] = os.environ) -> Settings:
    """Settings from `BRADAWL_DATA`, `BRADAWL_STATE`, `BRADAWL_DATABASE_URL`, `BRADAWL_PHOTO_STORE`,
    `BRADAWL_TIMESTAMP_URL`, `BRADAWL_BACKUPS` and `…_KEPT`, `BRADAWL_REGION`, and
    `BRADAWL_LOG_JSON`, `…_MB` and `…_FILES`, and what was chosen at the desk. Raises SettingError.
    """
    place = environ.get("BRADAWL_DATA")
    if not place:
        import platformdirs

        place = platformdirs.user_data_dir("bradawl", appauthor=False)
    settings = at(
        Path(place).expanduser().resolve(),
        database_url=environ.get("BRADAWL_DATABASE_URL", ""),
        photo_store=environ.get("BRADAWL_PHOTO_STORE", ""),
        timestamp_url=environ.get("BRADAWL_TIMESTAMP_URL", ""),
    )
    beside = environ.get("BRADAWL_STATE")
    if beside:
        settings = replace(settings, chain_notes=Path(beside).expanduser().resolve() / "chains")
    region = environ.get("BRADAWL_REGION") or ""
    if region not in ("", *REGIONS):
        raise SettingError(message("server-setting-region", given=region))
    names = {"region": "BRADAWL_REGION", "backups": "BRADAWL_BACKUPS"}
    settings = replace(
        settings,
        log=_log_settings(environ),
        region=region or REGIONS[0],
        fixed=frozenset(name for name, variable in names.items() if environ.get(variable)),
    )
    try:
        chosen = choices.read(settings.data)
    except ValueError as error:
        raise SettingError(
            message("server-setting-file", file=str(settings.data / choices.FILE))
        ) from error
    return _with_backups(settings, environ)._with(chosen)


def _with_backups(settings: Settings, environ: Mapping[str, str]) -> Settings:
    place = environ.get("BRADAWL_BACKUPS") or str(settings.data / "backups")
    folder = None if place == "off" else Path(place).expanduser().resolve()
    kept = environ.get("BRADAWL_BACKUPS_KEPT") or "7"
    if not (kept.isascii() and kept.isdigit() and 1 <= int(kept[:5]) <= MOST_BACKUPS):
        raise SettingError(
            message("server-setting-backups-kept", given=kept, most=str(MOST_BACKUPS))
        )
    return replace(settings, backups=folder, backups_kept=int(kept))


def _log_settings(environ: Mapping[str, str]) -> LogSettings:
    usual = LogSettings()
    form = environ.get("BRADAWL_LOG_JSON") or "0"
    if form not in ("0", "1"):
        raise SettingError(message("server-setting-log-json", given=form))
    megabytes = environ.get("BRADAWL_LOG_MB") or str(usual.file_bytes / 1e6)
    try:
        file_bytes = int(float(megabytes) * 1e6)
    except (ValueError, OverflowError):
        file_bytes = 0
    if file_bytes < LEAST_LOG_MB * 1e6:
        raise SettingError(
            message("server-setting-log-mb", given=megabytes, least=str(LEAST_LOG_MB))
        )
    files = environ.get("BRADAWL_LOG_FILES") or str(usual.files)
    if not (files.isascii() and files.isdigit() and 1 <= int(files[:4]) <= 100):
        raise SettingError(message("server-setting-log-files", given=files))
    return LogSettings(form == "1", file_bytes, int(files))


def at(
    data: Path, *, database_url: str = "", photo_store: str = "", timestamp_url: str = ""
) -> Settings:
    """Settings for one data folder; empty text means the default place below it."""
    import platformdirs

    return Settings(
        data=data,
        database_url=database_url or f"sqlite:///{data / 'bradawl.sqlite3'}",
        photo_store=photo_store or str(data / "photos"),
        # a name of its own: on some systems state and data of one name share a folder
        chain_notes=Path(platformdirs.user_state_dir("bradawl-chains", appauthor=False)),
        timestamp_url=timestamp_url,
        fixed=frozenset({"backups"}),  # none, unless the environment is asked
    )
