"""Whether every row is as it was written: see `row_copies`."""

from __future__ import annotations

import sqlite3
from collections import Counter
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

from sqlalchemy import Engine

from bradawl.common.disk_errors import uri_to_read
from bradawl.common.display_text import for_line
from bradawl.database.row_copies import differences
from bradawl.language import message
from bradawl.log.integrity.faults import RESTORE, Finding

#: Of so many rows each is named; of more their number.
NAMED = 5


def examine_rows(engine: Engine) -> Iterator[Finding]:
    """Compare each row with its second copy. Nothing is changed."""
    place = engine.url.database
    if engine.dialect.name != "sqlite" or not place or place == ":memory:":
        return
    try:
        # a connection of its own: what reads here must take any bytes for text
        with closing(sqlite3.connect(uri_to_read(Path(place)), uri=True)) as driver:
            damaged_rows = list(differences(driver))
    except (sqlite3.Error, UnicodeDecodeError) as error:
        yield Finding("unreadable", message("server-fault-unreadable", why=str(error)), RESTORE)
        return
    for row in damaged_rows[:NAMED]:
        said = "server-fault-row-gone" if row.gone else "server-fault-row"
        what = message(said, table=row.table, key=for_line(row.key, 24))
        yield Finding("row", what, RESTORE)
    if len(damaged_rows) > NAMED:
        tables = Counter(row.table for row in damaged_rows[NAMED:])
        more = ", ".join(f"{table}: {count}" for table, count in sorted(tables.items()))
        yield Finding("row", message("server-fault-rows", tables=more), RESTORE)
