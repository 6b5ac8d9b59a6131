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
        yield Finding("unreadable", f"The database cannot be read to its end: {error}.", RESTORE)
        return
    for row in damaged_rows[:NAMED]:
        how = "has lost its second copy, or is lost itself" if row.gone else "is not as written"
        yield Finding("row", f"A row of {row.table} {how} ({for_line(row.key, 24)}).", RESTORE)
    if len(damaged_rows) > NAMED:
        tables = Counter(row.table for row in damaged_rows[NAMED:])
        more = ", ".join(f"{count} of {table}" for table, count in sorted(tables.items()))
        yield Finding("row", f"More rows are not as they were written: {more}.", RESTORE)
