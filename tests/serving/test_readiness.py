"""What is told of a data folder before anything is loaded is what the application would say."""

from __future__ import annotations

import os
import shutil
import sqlite3
import subprocess
import sys
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest

from bradawl.access.core.models import Person
from bradawl.common import resources, settings
from bradawl.serving import build_cache, readiness
from bradawl.serving.core import Bradawl
from bradawl.serving.readiness import Ready
from tests.fresh import furnished

PASSPHRASE = "nine rusty hinges sing"


@pytest.fixture
def place(tmp_path: Path) -> settings.Settings:
    """A data folder as an ordinary start finds it."""
    place = settings.at(furnished(tmp_path / "data of ours #1"))
    Bradawl(place).close()
    build_cache.judge(place.data / build_cache.FOLDER)
    return place


def let_in(core: Bradawl, person: Person) -> None:
    people = core.access.people
    assert people.accept(people.invite(person.id), person.name, PASSPHRASE, PASSPHRASE)


def changed(place: settings.Settings, statement: str) -> None:
    with closing(sqlite3.connect(place.data / "bradawl.sqlite3")) as database, database:
        database.execute(statement)


def test_a_folder_that_was_served_before_is_ready(place: settings.Settings) -> None:
    assert readiness.look(place) == Ready(signs_in=False)


def test_it_says_of_the_desk_what_the_application_says(place: settings.Settings) -> None:
    core = Bradawl(place)
    people = core.access.people

    def both() -> bool:
        ready = readiness.look(place)
        assert ready is not None
        assert ready.signs_in == people.anybody_can_sign_in()
        return ready.signs_in

    first = people.first_owner()
    inspector = people.add("Ada", "inspector")
    let_in(core, inspector)
    assert not both()  # an inspector can open the desk to nobody
    let_in(core, first)
    assert both()
    second = people.add("Bo", "owner")
    let_in(core, second)
    people.shut_out(first.id)
    assert both()
    core.close()
    changed(place, "UPDATE access_person SET disabled_ms = 1")
    assert readiness.look(place) == Ready(signs_in=False)


def test_what_a_killed_server_left_in_its_write_ahead_log_counts(
    place: settings.Settings,
) -> None:
    script = (
        "import os, sys, pathlib; from bradawl.common import settings; "
        "from bradawl.serving.app import Bradawl; "
        "core = Bradawl(settings.at(pathlib.Path(sys.argv[1]))); people = core.access.people; "
        "people.accept(people.invite(people.first_owner().id), 'Ada', sys.argv[2], sys.argv[2]); "
        "os.kill(os.getpid(), 9)"
    )
    subprocess.run([sys.executable, "-c", script, place.data, PASSPHRASE], check=False)
    assert (place.data / "bradawl.sqlite3-wal").stat().st_size
    assert readiness.look(place) == Ready(signs_in=True)


def test_a_first_start_is_not_ready_and_nothing_is_made_by_looking(tmp_path: Path) -> None:
    assert readiness.look(settings.at(tmp_path / "data")) is None
    assert not (tmp_path / "data").exists()


@pytest.mark.parametrize("revision", ["0001", "9999"])
def test_another_versions_database_is_not_ready(place: settings.Settings, revision: str) -> None:
    changed(place, f"UPDATE alembic_version SET version_num = '{revision}'")
    assert readiness.look(place) is None


def test_a_damaged_database_is_not_ready(place: settings.Settings) -> None:
    file = place.data / "bradawl.sqlite3"
    file.write_bytes(os.urandom(4096) + file.read_bytes()[4096:])
    assert readiness.look(place) is None


def test_an_empty_database_is_not_ready(place: settings.Settings) -> None:
    (place.data / "bradawl.sqlite3").unlink()
    assert readiness.look(place) is None
    (place.data / "bradawl.sqlite3").touch()
    assert readiness.look(place) is None


def test_changed_checklists_are_not_ready(
    place: settings.Settings, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "checklists"
    shutil.copytree(resources.path_of("checklists"), folder)
    monkeypatch.setattr("bradawl.common.resources.path_of", lambda _name: folder)
    build_cache.checklists(folder, place.data / build_cache.FOLDER)
    assert readiness.look(place) == Ready(signs_in=False)
    with (folder / "cautions.yaml").open("a") as file:
        file.write("# changed\n")
    assert readiness.look(place) is None


@pytest.mark.parametrize("document", ["checklists", "judge"])
def test_documents_that_are_not_there_yet_are_not_ready(
    place: settings.Settings, document: str
) -> None:
    (path,) = (place.data / build_cache.FOLDER).glob(f"{document}-*")
    path.unlink()
    assert readiness.look(place) is None


def test_engines_elsewhere_are_the_applications_to_open(place: settings.Settings) -> None:
    elsewhere = "postgresql+psycopg://127.0.0.1:1/none"
    assert readiness.look(replace(place, database_url=elsewhere)) is None
    assert readiness.look(replace(place, photo_store="s3://bucket/prefix")) is None
