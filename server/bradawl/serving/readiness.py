"""Whether a data folder can be served as it stands, found out without what serves it.

Opening the database as the application does would load all of its libraries. An ordinary start
has nothing to migrate, nothing to prepare and nothing to complain about, and that is told by
three small files and two rows.
"""

from __future__ import annotations

import sqlite3
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from bradawl.access.core.models import AN_OWNER_SIGNS_IN
from bradawl.common import resources
from bradawl.common.disk_errors import uri_to_read
from bradawl.common.settings import Settings
from bradawl.database.schema_version import REVISION_QUERY, newest_revision
from bradawl.serving import build_cache

_SQLITE = "sqlite:///"


@dataclass(frozen=True)
class Ready:
    """A data folder that needs nothing done; `signs_in` when some owner has a passphrase."""

    signs_in: bool


def look(settings: Settings) -> Ready | None:
    """What can be said of a data folder, or None where the application must look for itself.

    That is: a first start, another version's database or checklists, anything damaged, and every
    database and photo store that is not on this machine.
    """
    url = settings.database_url
    if not url.startswith(_SQLITE) or "?" in url or not Path(settings.photo_store).is_dir():
        return None
    if not build_cache.are_kept(
        resources.path_of("checklists"), settings.data / build_cache.FOLDER
    ):
        return None
    place = uri_to_read(Path(url.removeprefix(_SQLITE)))
    try:
        with closing(sqlite3.connect(place, uri=True)) as database:
            if database.execute(REVISION_QUERY).fetchone() != (newest_revision(),):
                return None
            return Ready(signs_in=database.execute(AN_OWNER_SIGNS_IN).fetchone() is not None)
    except sqlite3.Error:
        return None
