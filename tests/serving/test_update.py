"""An older data folder is brought up to date, with a backup of how it was before."""

from __future__ import annotations

import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from bradawl.common import settings
from bradawl.common.settings import StartError
from bradawl.database import connection, schema_version
from bradawl.serving.core import Bradawl
from tests.fresh import furnished

NEXT = '''
"""A further revision, as a later Bradawl would bring one."""
import sqlalchemy as sa
from alembic import op
revision = "0105"
down_revision = "0104"
def upgrade():
    op.add_column("access_person", sa.Column("added", sa.String(8), server_default="new"))
'''


def revision(database: Path) -> str:
    with closing(sqlite3.connect(database)) as opened:
        return str(opened.execute(schema_version.REVISION_QUERY).fetchone()[0])


@pytest.fixture
def data(tmp_path: Path) -> Path:
    """A folder of today's version, in which a shop has a name."""
    folder = furnished(tmp_path / "data")
    core = Bradawl(settings.at(folder))
    core.access.people.first_owner()
    core.close()
    return folder


@pytest.fixture
def later(data: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """From now on this is a later version with one more migration than wrote `data`."""
    assert data.is_dir()
    migrations = tmp_path / "migrations"
    shutil.copytree(schema_version.MIGRATIONS, migrations)
    (migrations / "versions" / "0105_later.py").write_text(NEXT)
    for module in (connection, schema_version):
        monkeypatch.setattr(module, "MIGRATIONS", migrations)


def people(database: Path) -> list[tuple[str, ...]]:
    with closing(sqlite3.connect(database)) as opened:
        return opened.execute("SELECT id, name FROM access_person").fetchall()


@pytest.mark.usefixtures("later")
def test_the_update_keeps_everything_and_a_backup_of_before(
    data: Path, tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    database = data / "bradawl.sqlite3"
    before = people(database)
    assert before
    Bradawl(settings.at(data)).close()
    assert revision(database) == "0105"
    assert people(database) == before
    [kept] = (data / "backups").glob("before-update-0104-*.tar")
    assert "backup made before the update" in caplog.text
    with closing(sqlite3.connect(database)) as opened:
        assert opened.execute("SELECT count(added) FROM access_person").fetchone() == (1,)
    # the next start has nothing to do
    Bradawl(settings.at(data)).close()
    assert len(list((data / "backups").glob("before-update-*"))) == 1
    # what is in it can be put back; a later version then brings that up to date, too
    from bradawl.backup.restore import restore
    from bradawl.serving.backups.records import store_of

    again = settings.at(tmp_path / "again")
    assert restore(kept, store_of(again), replace=False, partial=False).faults == ()
    assert people(again.data / "bradawl.sqlite3") == before


@pytest.mark.usefixtures("later")
def test_without_room_for_a_backup_nothing_is_changed(data: Path) -> None:
    (data / "backups").write_text("not a folder")
    with pytest.raises(StartError, match="nothing was changed, since no backup could be made"):
        Bradawl(settings.at(data))
    assert revision(data / "bradawl.sqlite3") == "0104"


def test_a_folder_of_this_version_needs_no_backup(data: Path) -> None:
    Bradawl(settings.at(data)).close()
    assert not (data / "backups").exists()
