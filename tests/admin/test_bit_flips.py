"""A bit that flips anywhere in the database is found, or changes nothing that anybody reads."""

from __future__ import annotations

import random
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from bradawl.common import resources
from bradawl.database.connection import open_engine
from bradawl.log.integrity.doctor import examine_database
from bradawl.serving.core import compiled
from tests.access.conftest import PASSPHRASE
from tests.backup.data import OTHER, VISIT, Data, filled


@pytest.fixture(scope="module")
def database(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The database of a server that was used: people, phones, links, entries, a checklist."""
    data = Data(tmp_path_factory.mktemp("whole") / "data")
    filled(data, entries=300, photos=4)
    log = data.start()
    bundle, _ = compiled(resources.path_of("checklists"))
    assert bundle is not None
    log.put_bundle(bundle)
    access = data.access
    owner = access.first_owner()
    access.people.accept(access.people.invite(owner.id), "Ada", PASSPHRASE, PASSPHRASE)
    access.people.add("Bo", "inspector")
    access.sessions.begin(owner, "Firefox on Linux", "192.168.1.4")
    access.pairing.pair_at_once(OTHER, "Blue phone", owner.id)
    access.links.make(VISIT, "condition", "for a buyer", 7)
    for number in range(150):
        access.audit.record("Ada", "did something", f"number {number}", "192.168.1.4")
    log.photos.finish()
    data.stop()
    return data.database


def dump(database: Path) -> object:
    """Every row of every table, as SQLite reads it; None when it cannot."""
    with closing(sqlite3.connect(f"file:{database}?mode=ro", uri=True)) as connection:
        connection.text_factory = bytes
        try:
            tables = connection.execute(
                "SELECT type, name, sql FROM sqlite_master ORDER BY name"
            ).fetchall()
            rows = [
                sorted(connection.execute(f'SELECT * FROM "{name.decode()}"').fetchall(), key=repr)
                for kind, name, _ in tables
                if kind == b"table"
            ]
        except (sqlite3.Error, UnicodeDecodeError):
            return None
        return tables, rows


def is_found(database: Path) -> bool:
    engine = open_engine(f"sqlite:///{database}")
    try:
        return bool(examine_database(engine).findings)
    finally:
        engine.dispose()


def test_a_flipped_bit_is_found_or_changes_nothing(database: Path, tmp_path: Path) -> None:
    whole = database.read_bytes()
    as_it_was = dump(database)
    chance = random.Random(2026)
    place = tmp_path / "damaged.sqlite3"
    found = harmless = 0
    for _ in range(60):
        damaged = bytearray(whole)
        at, bit = chance.randrange(len(whole)), chance.randrange(8)
        damaged[at] ^= 1 << bit
        place.write_bytes(damaged)
        if is_found(place):
            found += 1
        else:
            assert dump(place) == as_it_was, f"byte {at}, bit {bit} was not found"
            harmless += 1
        for beside in tmp_path.glob("damaged.sqlite3-*"):
            beside.unlink()
    # the rest are bits in room that nothing uses
    assert found > harmless


@pytest.mark.parametrize(
    ("statement", "table"),
    [
        ("UPDATE access_person SET role = 'owner' WHERE name = 'Bo'", "access_person"),
        ("UPDATE access_device SET token_hash = 'x'", "access_device"),
        ("UPDATE access_link SET expires_ms = expires_ms + 1", "access_link"),
        ("UPDATE log_blob SET width = width + 1", "log_blob"),
        ("UPDATE log_device SET stands_for = 'x'", "log_device"),
        ("UPDATE log_batch SET received_ms = 7", "log_batch"),
        ("UPDATE served_copy SET copy_sha256 = 'x'", "served_copy"),
        ("UPDATE alembic_version SET version_num = '0001'", "alembic_version"),
        ("DELETE FROM access_session", "access_session"),
    ],
)
def test_a_row_that_was_changed_past_the_database_is_found(
    database: Path, tmp_path: Path, statement: str, table: str
) -> None:
    """What damage does, done by SQL without the triggers that an ordinary change sets off."""
    place = tmp_path / "changed.sqlite3"
    place.write_bytes(database.read_bytes())
    with closing(sqlite3.connect(place)) as connection, connection:
        named = connection.execute(
            "SELECT name, sql FROM sqlite_master WHERE type = 'trigger' AND tbl_name = ?", (table,)
        ).fetchall()
        for name, _ in named:
            connection.execute(f'DROP TRIGGER "{name}"')
        assert connection.execute(statement).rowcount > 0
        for _, sql in named:
            connection.execute(sql)
    engine = open_engine(f"sqlite:///{place}")
    whats = [str(one.what) for one in examine_database(engine).findings if one.code == "row"]
    engine.dispose()
    assert any(f"A row of {table} " in what for what in whats)


def test_an_ordinary_change_is_no_damage(database: Path, tmp_path: Path) -> None:
    place = tmp_path / "changed.sqlite3"
    place.write_bytes(database.read_bytes())
    with closing(sqlite3.connect(place)) as connection, connection:
        connection.execute("UPDATE access_person SET role = 'reader', id = 'x' WHERE name = 'Bo'")
        connection.execute("DELETE FROM access_session")
        connection.execute("INSERT OR REPLACE INTO access_seen VALUES ('d', 1, 1)")
        connection.execute("INSERT OR REPLACE INTO access_seen VALUES ('d', 2, 2)")
        connection.execute("INSERT OR IGNORE INTO access_seen VALUES ('d', 3, 3)")
        connection.execute(
            "INSERT INTO access_seen VALUES ('d', 4, 4) ON CONFLICT (device) DO UPDATE SET seq = 4"
        )
    assert not is_found(place)
    with closing(sqlite3.connect(place, isolation_level=None)) as connection:
        connection.execute("VACUUM")
    assert not is_found(place)
