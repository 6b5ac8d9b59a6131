"""Where Bradawl keeps things and how it is reached: read once from the environment."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Literal

Mode = Literal["local", "lan", "proxy"]
DEFAULT_PORT = 8477


@dataclass(frozen=True)
class Settings:
    """One server's settings.

    `data` holds the database, the photos and the keys. `database_url` and `photo_store` default
    to files below it; a PostgreSQL URL and an `s3://bucket/prefix` move them elsewhere. `mode`
    says who can reach the server: this machine only, the workshop's network, or a reverse proxy.
    `chain_notes` says, outside `data`, how far the server's own chains have come: a data folder
    that was copied back is recognized by it.
    `timestamp_url` is an RFC 3161 time-stamp server for signatures on reports, empty for none.
    """

    data: Path
    database_url: str
    photo_store: str
    chain_notes: Path
    mode: Mode = "local"
    host: str = "127.0.0.1"
    port: int = DEFAULT_PORT
    timestamp_url: str = ""

    @property
    def keys(self) -> Path:
        """The folder of private keys, never in the database nor in its backup."""
        return self.data / "keys"

    @property
    def chain_keys(self) -> Path:
        """The folder with the keys of the chains that the server writes itself."""
        return self.keys / "chains"

    def with_mode(self, mode: Mode, host: str, port: int) -> Settings:
        return replace(self, mode=mode, host=host, port=port)


def from_environment(environ: Mapping[str, str] = os.environ) -> Settings:
    """Settings from `BRADAWL_DATA`, `BRADAWL_DATABASE_URL`, `BRADAWL_PHOTO_STORE` and
    `BRADAWL_TIMESTAMP_URL`.
    """
    place = environ.get("BRADAWL_DATA")
    if not place:
        import platformdirs

        place = platformdirs.user_data_dir("bradawl", appauthor=False)
    return at(
        Path(place).expanduser().resolve(),
        database_url=environ.get("BRADAWL_DATABASE_URL", ""),
        photo_store=environ.get("BRADAWL_PHOTO_STORE", ""),
        timestamp_url=environ.get("BRADAWL_TIMESTAMP_URL", ""),
    )


def at(
    data: Path, *, database_url: str = "", photo_store: str = "", timestamp_url: str = ""
) -> Settings:
    """Settings for one data folder; empty text means the default place below it."""
    import platformdirs

    return Settings(
        data=data,
        database_url=database_url or f"sqlite:///{data / 'bradawl.sqlite3'}",
        photo_store=photo_store or str(data / "photos"),
        chain_notes=Path(platformdirs.user_state_dir("bradawl", appauthor=False)) / "chains",
        timestamp_url=timestamp_url,
    )
