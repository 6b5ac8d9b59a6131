"""`bradawl authority`, as somebody with a shell on the server runs it."""

from __future__ import annotations

import os
import re
import subprocess
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from bradawl.access.authority import lifecycle
from bradawl.access.authority.names import Place
from bradawl.access.core.audit import Audit
from bradawl.database.connection import open_engine
from tests import forked
from tests.fresh import migrated

PLACE = Place(("shop.local",), ())


def run(data: Path, *command: str) -> subprocess.CompletedProcess[str]:
    return forked.run("authority", *command, env={**os.environ, "BRADAWL_DATA": str(data)})


def joined(text: str) -> str:
    return " ".join(text.split())


def test_one_command_replaces_it_and_says_what_phones_have_to_do(tmp_path: Path) -> None:
    engine = open_engine(f"sqlite:///{tmp_path / 'bradawl.sqlite3'}")
    migrated(engine)
    old = lifecycle.open_authority(tmp_path / "keys" / "authority", PLACE)
    done = run(tmp_path, "replace")
    assert done.returncode == 0, done.stderr
    assert done.stderr == ""
    new = lifecycle.open_authority(tmp_path / "keys" / "authority", PLACE)
    assert new.sha256 != old.sha256
    assert new.sha256.upper() in re.sub(r"\s", "", done.stdout)
    said = joined(done.stdout)
    assert f"trust the new certificate, and remove “{old.name}”" in said
    assert "within a minute" in said
    (line,) = Audit(engine, lambda: 0).lines()
    assert (line.who, line.act, line.about) == ("the command line", "authority replaced", new.name)
    engine.dispose()

    shown = joined(run(tmp_path, "show").stdout)
    assert new.fingerprint in shown
    assert f"remove from phones: {old.name}" in shown


def test_it_shows_what_it_may_and_what_comes_next(tmp_path: Path) -> None:
    keys = tmp_path / "keys" / "authority"
    now = datetime.now(UTC)
    lifecycle.open_authority(keys, PLACE, now=now - timedelta(days=320))
    standing = lifecycle.look_after(keys, PLACE)
    lifecycle.server_files(keys, standing.authority, PLACE)
    assert standing.next is not None
    done = run(tmp_path, "show")
    assert done.returncode == 0
    said = joined(done.stdout)
    for part in (
        standing.authority.fingerprint,
        "shop.local, 10.0.0.0/8",
        "nothing else",
        standing.next.name,
        standing.next.fingerprint,
        "This server's own certificate ends",
    ):
        assert part in said


@pytest.mark.parametrize("command", ["show", "replace"])
def test_where_there_is_none_that_is_said(tmp_path: Path, command: str) -> None:
    done = run(tmp_path / "data", command)
    assert (done.returncode, done.stdout) == (1, "")
    assert "`bradawl serve --lan` makes one" in done.stderr
    assert not (tmp_path / "data").exists()


def test_a_database_that_is_not_there_keeps_nobody_from_replacing_it(tmp_path: Path) -> None:
    old = lifecycle.open_authority(tmp_path / "keys" / "authority", PLACE)
    done = run(tmp_path, "replace")
    assert done.returncode == 0
    assert "Couldn't write to the audit trail" in done.stderr
    assert lifecycle.open_authority(tmp_path / "keys" / "authority", PLACE).sha256 != old.sha256
