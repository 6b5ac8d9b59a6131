"""Which revision a database has and which this code expects, known without any library."""

from __future__ import annotations

import re
from pathlib import Path

MIGRATIONS = Path(__file__).resolve().parent / "migrations"
_FILE = re.compile(r"(\d{4})_\w+\.py")

#: SQL for the revision that a database has; its table is missing in an empty one.
REVISION_QUERY = "SELECT version_num FROM alembic_version"


def newest_revision() -> str:
    """The revision that this Bradawl's code expects, such as "0001"."""
    revisions = [
        match[1]
        for path in (MIGRATIONS / "versions").iterdir()
        if (match := _FILE.fullmatch(path.name))
    ]
    return max(revisions)
