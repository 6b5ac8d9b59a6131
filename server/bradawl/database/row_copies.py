"""A second copy of every row that nothing else vouches for, kept by SQLite itself.

Events are chained by hashes, and a checklist is named by its own. A person's role, a phone's token
or the size of a photo have nothing of the kind: a bit that flips there reads as another value, and
SQLite's own check sees only whether its pages hang together. So triggers write each row once more,
as text, into one table; a row and its copy that differ are damage, whichever of the two it hit.

The triggers follow the tables: `install` is called after every migration. Large columns that are
named by a hash (`body`) are left out. PostgreSQL has checksums of its own.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection

TABLE = "row_copy"
#: Made from events, and compared with them by the log's own examination.
DERIVED = frozenset({"log_batch_scope", "log_scope"})
#: Columns that a hash vouches for.
HASHED = frozenset({"body"})
_SCHEMA = "sqlite_master"
_CREATE = (
    f"CREATE TABLE IF NOT EXISTS {TABLE} (of_table TEXT NOT NULL, of_key TEXT NOT NULL, "
    "content TEXT NOT NULL, PRIMARY KEY (of_table, of_key)) WITHOUT ROWID"
)


@dataclass(frozen=True)
class Difference:
    """A row that is not as it was written: its table and key; `gone` when one of the two is."""

    table: str
    key: str
    gone: bool


@dataclass(frozen=True)
class _Columns:
    """A table's key and content, as SQL over `prefix`."""

    table: str
    key: tuple[str, ...]
    content: tuple[str, ...]

    def key_of(self, prefix: str) -> str:
        return _joined(self.key, prefix)

    def content_of(self, prefix: str) -> str:
        return _joined(self.content, prefix)


def _joined(columns: tuple[str, ...], prefix: str) -> str:
    return " || ',' || ".join(f'quote({prefix}."{column}")' for column in columns)


def install(connection: Connection) -> None:
    """Make the triggers fit the tables as they are now; rows without a copy get one."""
    if connection.dialect.name != "sqlite":
        return
    driver = connection.connection.driver_connection
    assert isinstance(driver, sqlite3.Connection)
    driver.execute(_CREATE)
    for columns in _tables(driver):
        if _put_triggers(driver, columns):
            driver.execute(f"DELETE FROM {TABLE} WHERE of_table = ?", (columns.table,))
            driver.execute(
                f"INSERT INTO {TABLE} SELECT '{columns.table}', {columns.key_of('t')}, "
                f'{columns.content_of("t")} FROM "{columns.table}" t'
            )
    tables = [columns.table for columns in _tables(driver)]
    marks = ",".join("?" * len(tables))
    driver.execute(f"DELETE FROM {TABLE} WHERE of_table NOT IN ({marks})", tables)
    driver.execute(f"INSERT INTO {TABLE} SELECT '{_SCHEMA}', {_SCHEMA_ROWS}")


_SCHEMA_ROWS = (
    "quote(type) || ',' || quote(name), quote(sql) FROM sqlite_master "
    "WHERE name NOT LIKE 'sqlite_%'"
)


def differences(driver: sqlite3.Connection) -> Iterator[Difference]:
    """Rows and copies that are not the same. Raises sqlite3.Error where pages cannot be read."""
    driver.text_factory = lambda text: text.decode("utf-8", "replace")
    if not driver.execute("SELECT 1 FROM sqlite_master WHERE name = ?", (TABLE,)).fetchone():
        return
    sources = [
        (
            columns.table,
            f'SELECT {columns.key_of("t")} k, {columns.content_of("t")} c FROM "{columns.table}" t',
        )
        for columns in _tables(driver)
    ]
    schema = _SCHEMA_ROWS.replace(", quote(sql)", " k, quote(sql) c")
    for table, rows in [*sources, (_SCHEMA, f"SELECT {schema}")]:
        yield from (
            Difference(table, str(key), bool(gone))
            for key, gone in driver.execute(
                f"SELECT k, content IS NULL FROM ({rows}) LEFT JOIN {TABLE} "
                "ON of_table = ?1 AND of_key = k WHERE content IS NOT c "
                f"UNION ALL SELECT of_key, 1 FROM {TABLE} WHERE of_table = ?1 "
                f"AND of_key NOT IN (SELECT k FROM ({rows}))",
                (table,),
            )
        )
    yield from _foreign_copies(driver, [table for table, _ in sources])


def _foreign_copies(driver: sqlite3.Connection, tables: list[str]) -> Iterator[Difference]:
    """Copies whose table's name is none any more."""
    marks = ",".join("?" * (len(tables) + 1))
    for table, key in driver.execute(
        f"SELECT of_table, of_key FROM {TABLE} WHERE of_table NOT IN ({marks})",
        [*tables, _SCHEMA],
    ):
        yield Difference(str(table), str(key), gone=True)


def _tables(driver: sqlite3.Connection) -> list[_Columns]:
    names = driver.execute(
        "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%' "
        "ORDER BY name"
    )
    return [
        _columns(driver, str(name))
        for (name,) in names.fetchall()
        if name not in DERIVED and name != TABLE
    ]


def _columns(driver: sqlite3.Connection, table: str) -> _Columns:
    rows: list[Any] = driver.execute(f'PRAGMA table_info("{table}")').fetchall()
    key = tuple(str(row[1]) for row in sorted(rows, key=lambda row: int(row[5])) if row[5])
    content = tuple(str(row[1]) for row in rows if row[1] not in HASHED)
    return _Columns(table, key or content, content)


def _put_triggers(driver: sqlite3.Connection, columns: _Columns) -> bool:
    """Make a table's triggers; False when they are there already, in these words."""
    table = columns.table
    drop = f"DELETE FROM {TABLE} WHERE of_table = '{table}' AND of_key = {columns.key_of('OLD')};"
    add = (
        f"DELETE FROM {TABLE} WHERE of_table = '{table}' AND of_key = {columns.key_of('NEW')}; "
        f"INSERT INTO {TABLE} VALUES ('{table}', {columns.key_of('NEW')}, "
        f"{columns.content_of('NEW')});"
    )
    wanted = {
        f"{TABLE}_{table}_{act.lower()}": (
            f'CREATE TRIGGER {TABLE}_{table}_{act.lower()} AFTER {act} ON "{table}" '
            f"BEGIN {steps} END"
        )
        for act, steps in (("INSERT", add), ("UPDATE", f"{drop} {add}"), ("DELETE", drop))
    }
    there = dict(
        driver.execute(
            "SELECT name, sql FROM sqlite_master WHERE type = 'trigger' AND tbl_name = ?", (table,)
        ).fetchall()
    )
    if all(there.get(name) == statement for name, statement in wanted.items()):
        return False
    for name, statement in wanted.items():
        driver.execute(f'DROP TRIGGER IF EXISTS "{name}"')
        driver.execute(statement)
    return True
