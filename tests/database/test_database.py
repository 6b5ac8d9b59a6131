"""A commit is on the disk; migrations make exactly the tables that the code reads."""

from __future__ import annotations

from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.runtime.migration import MigrationContext
from sqlalchemy import Engine, event, text
from sqlalchemy.exc import OperationalError
from sqlmodel import SQLModel

from bradawl.database.connection import (
    DatabaseTooNewError,
    DatabaseTooOldError,
    migrate,
    newest_revision,
    open_engine,
    reading,
    writing,
)
from bradawl.log.format import tables


@pytest.fixture
def engine(tmp_path: Path) -> Engine:
    return open_engine(f"sqlite:///{tmp_path}/below/log.db")


def pragma(engine: Engine, name: str) -> object:
    with reading(engine) as connection:
        return connection.execute(text(f"PRAGMA {name}")).scalar()


def test_every_connection_writes_ahead_and_waits_for_the_disk(engine: Engine) -> None:
    # SQLite: synchronous 2 is FULL (sqlite.org/pragma.html)
    with reading(engine), reading(engine):
        assert pragma(engine, "journal_mode") == "wal"
        assert pragma(engine, "synchronous") == 2
        assert pragma(engine, "foreign_keys") == 1


def test_the_migrations_make_the_tables_that_the_code_reads(engine: Engine) -> None:
    migrate(engine)
    own = {
        table.name for table in SQLModel.metadata.tables.values() if table.name.startswith("log_")
    }
    assert len(own) == 6

    def only_own(_thing: object, name: str | None, kind: str, *_rest: object) -> bool:
        return kind != "table" or name in own

    with engine.connect() as connection:
        context = MigrationContext.configure(connection, opts={"include_object": only_own})
        assert compare_metadata(context, SQLModel.metadata) == []


def test_migrating_again_changes_nothing_and_keeps_the_rows(engine: Engine) -> None:
    migrate(engine)
    with writing(engine) as connection:
        connection.execute(tables.BUNDLES.insert().values(hash="0" * 64, body="{}", added_ms=1))
    migrate(engine)
    with reading(engine) as connection:
        assert connection.execute(text("SELECT count(*) FROM log_bundle")).scalar() == 1
        held = connection.execute(text("SELECT version_num FROM alembic_version")).scalar()
    assert held == newest_revision()


def test_a_database_of_a_newer_bradawl_is_left_alone(engine: Engine) -> None:
    migrate(engine)
    with writing(engine) as connection:
        connection.execute(text("UPDATE alembic_version SET version_num = '9999'"))
    with pytest.raises(DatabaseTooNewError, match="newer Bradawl"):
        migrate(engine)


@pytest.mark.parametrize("revision", ["0001", "0004", "0100", "0103"])
def test_a_database_of_0_1_is_left_alone_and_said_to_be_one(
    engine: Engine, tmp_path: Path, revision: str
) -> None:
    with writing(engine) as connection:
        connection.exec_driver_sql("CREATE TABLE alembic_version (version_num VARCHAR(32))")
        connection.exec_driver_sql(f"INSERT INTO alembic_version VALUES ('{revision}')")
        connection.exec_driver_sql("CREATE TABLE log_visit (visit VARCHAR(32))")
    engine.dispose()
    before = (tmp_path / "below" / "log.db").read_bytes()
    with pytest.raises(DatabaseTooOldError) as caught:
        migrate(engine)
    sentence = str(caught.value)
    assert "Bradawl 0.1" in sentence
    assert "BRADAWL_DATA" in sentence
    assert sentence.endswith(".")
    assert (tmp_path / "below" / "log.db").read_bytes() == before


def test_a_failed_transaction_leaves_nothing_behind(engine: Engine) -> None:
    migrate(engine)

    def half() -> None:
        with writing(engine) as connection:
            connection.execute(tables.BUNDLES.insert().values(hash="1", body="", added_ms=1))
            raise KeyError

    with pytest.raises(KeyError):
        half()
    with reading(engine) as connection:
        assert connection.execute(text("SELECT count(*) FROM log_bundle")).scalar() == 0


def test_what_a_writer_has_read_cannot_change_before_it_writes(
    engine: Engine, tmp_path: Path
) -> None:
    migrate(engine)
    impatient = open_engine(f"sqlite:///{tmp_path}/below/log.db")
    event.listen(
        impatient, "connect", lambda connection, _: connection.execute("PRAGMA busy_timeout=10")
    )
    with writing(engine) as first:
        first.execute(text("SELECT count(*) FROM log_bundle"))
        with pytest.raises(OperationalError, match="locked"), writing(impatient):
            pass
        with reading(impatient) as connection:  # a reader does not wait
            connection.execute(text("SELECT count(*) FROM log_bundle"))
