"""Whatever modes a data folder comes with, a start leaves it to its owner alone."""

from __future__ import annotations

import errno
import hashlib
import os
import stat
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from bradawl.access.core import private_files
from bradawl.access.core.private_files import make_private
from bradawl.common import settings as places
from bradawl.common.settings import Settings
from bradawl.database.connection import open_engine
from bradawl.serving.core import Bradawl
from tests import forked
from tests.fresh import furnished
from tests.serving.running import serving

PHOTO = "ab" * 32


def mode(path: Path) -> int:
    return stat.S_IMODE(path.lstat().st_mode)


def wrong(folder: Path) -> dict[str, str]:
    """Whatever others of the machine could read, with its mode; folders and files alike."""
    found = [folder, *folder.rglob("*")]
    return {
        str(path.relative_to(folder)): oct(mode(path))
        for path in found
        if not path.is_symlink() and mode(path) != (0o700 if path.is_dir() else 0o600)
    }


def spoil(folder: Path, files: int, folders: int) -> None:
    for path in sorted(folder.rglob("*"), reverse=True):
        path.chmod(folders if path.is_dir() else files)
    folder.chmod(folders)


def a_folder(place: Path) -> Settings:
    """A data folder with something of every kind in it."""
    settings = places.at(furnished(place, database=False))
    core = Bradawl(settings)
    core.signers.shop()
    core.close()
    for kind, end in (("original", ""), ("served", ".jpg")):
        (place / "photos" / kind / "ab" / (PHOTO + end)).write_bytes(b"picture")
    (place / "photos" / "incoming" / "cut off.part").write_bytes(b"picture")
    (place / "before-restore-20261129-bradawl.sqlite3").write_bytes(b"an older database")
    (place / "reports").mkdir(exist_ok=True)
    (place / "reports" / "one.pdf").write_bytes(b"%PDF")
    (place / "reports.jsonl").write_text("{}\n")
    return settings


@pytest.fixture
def umask_022() -> Iterator[None]:
    before = os.umask(0o022)
    yield
    os.umask(before)


@pytest.mark.parametrize(
    ("files", "folders"), [(0o644, 0o755), (0o755, 0o755), (0o666, 0o777), (0o400, 0o500)]
)
def test_a_folder_that_existed_before_is_made_private(
    tmp_path: Path, files: int, folders: int
) -> None:
    settings = a_folder(tmp_path / "data")
    for end in ("-wal", "-shm", "-journal"):
        (settings.data / f"bradawl.sqlite3{end}").touch()
    spoil(settings.data, files, folders)
    assert make_private(settings) == []
    assert wrong(settings.data) == {}


def test_the_server_makes_it_private_at_every_start_and_keeps_it_so(
    tmp_path: Path, umask_022: None
) -> None:
    data = tmp_path / "data"
    data.mkdir()  # 755, as `mkdir` makes it
    for _ in range(2):  # the second start has nothing to prepare, and opens no database
        with serving(data) as server:
            server.ask("/app/")
            assert mode(data) == 0o700
            server.ask("/api/v1/offline")
            server.ask("/desk/")
            with open_engine(f"sqlite:///{data / 'bradawl.sqlite3'}").connect() as reader:
                reader.exec_driver_sql("SELECT * FROM access_person").all()
                beside = {path.name for path in data.glob("bradawl.sqlite3-*")}
                assert beside == {f"bradawl.sqlite3-{end}" for end in ("lock", "shm", "wal")}
                assert {mode(path) for path in data.glob("bradawl.sqlite3*")} == {0o600}
        spoil(data, 0o644, 0o755)
    with serving(data):
        assert wrong(data) == {}


def test_in_a_network_too(tmp_path: Path, umask_022: None) -> None:
    with serving(tmp_path / "data", "--lan"):
        assert wrong(tmp_path / "data") == {}


def test_nothing_is_written_open_under_an_ordinary_umask(tmp_path: Path, umask_022: None) -> None:
    settings = places.at(tmp_path / "data")
    core = Bradawl(settings)
    try:
        arrival = core.log.photos.store.incoming / "arriving"
        with arrival.open("x+b") as file:
            file.write(b"picture")
            file.flush()
            core.log.photos.store.keep(PHOTO, "original", file)
        assert wrong(settings.data) == {}
    finally:
        core.close()


def test_a_command_that_only_opens_the_database_begins_it_private(
    tmp_path: Path, umask_022: None
) -> None:
    bradawl(tmp_path / "data", "invite")
    assert wrong(tmp_path / "data") == {}


def bradawl(data: Path, *command: str) -> None:
    done = forked.run(*command, env={**os.environ, "BRADAWL_DATA": str(data)})
    assert done.returncode == 0, done.stderr


def test_a_backup_is_restored_private_into_a_folder_that_is_not(
    tmp_path: Path, umask_022: None
) -> None:
    settings = a_folder(tmp_path / "data")
    photo = settings.data / "photos" / "original" / "ab"
    (photo / PHOTO).rename(photo / hashlib.sha256(b"picture").hexdigest())
    bradawl(settings.data, "backup", str(tmp_path / "backup.tar"))
    spoil(settings.data, 0o644, 0o755)
    bradawl(settings.data, "restore", "--replace", str(tmp_path / "backup.tar"))
    assert wrong(settings.data) == {}
    fresh = tmp_path / "fresh"
    fresh.mkdir()
    bradawl(fresh, "restore", str(tmp_path / "backup.tar"))
    assert wrong(fresh) == {}


def test_a_database_and_photos_that_lie_elsewhere_are_made_private_there(tmp_path: Path) -> None:
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir(mode=0o755)
    settings = places.at(
        tmp_path / "data",
        database_url=f"sqlite:///{elsewhere / 'shop.sqlite3'}",
        photo_store=str(elsewhere / "pictures"),
    )
    Bradawl(settings).close()
    (elsewhere / "pictures" / "original" / "ab" / PHOTO).write_bytes(b"picture")
    (elsewhere / "not ours").write_bytes(b"")
    spoil(elsewhere, 0o644, 0o755)
    assert make_private(settings) == []
    assert wrong(elsewhere) == {".": "0o755", "not ours": "0o644"}
    assert wrong(settings.data) == {}


def test_photos_are_looked_at_only_in_folders_that_are_not_private(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    settings = a_folder(tmp_path / "data")
    asked: list[Path] = []
    real = Path.lstat

    def counted(path: Path) -> os.stat_result:
        asked.append(path)
        return real(path)

    for number in range(50):
        (settings.data / "photos" / "original" / "cd" / f"{number:064x}").touch(mode=0o600)
    make_private(settings)
    monkeypatch.setattr(Path, "lstat", counted)
    make_private(settings)
    assert not [path for path in asked if len(path.name) == 64]
    (settings.data / "photos" / "original" / "cd").chmod(0o755)
    make_private(settings)
    assert len({path for path in asked if len(path.name) == 64}) == 50


def test_a_folder_becomes_private_after_what_is_in_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """So a start that was killed half-way is taken up by the next."""
    settings = a_folder(tmp_path / "data")
    spoil(settings.data / "photos", 0o644, 0o755)
    real = Path.chmod

    def killed(path: Path, to: int, **more: bool) -> None:
        if path.name == PHOTO:
            raise KeyboardInterrupt
        real(path, to, **more)

    monkeypatch.setattr(Path, "chmod", killed)
    with pytest.raises(KeyboardInterrupt):
        make_private(settings)
    monkeypatch.undo()
    make_private(settings)
    assert wrong(settings.data) == {}


def test_a_link_is_not_followed(tmp_path: Path) -> None:
    settings = a_folder(tmp_path / "data")
    others = tmp_path / "others"
    others.mkdir(mode=0o755)
    (others / "file").touch(mode=0o644)
    (settings.data / "keys" / "link").symlink_to(others)
    (settings.data / "before-restore-link").symlink_to(others / "file")
    assert make_private(settings) == []
    assert mode(others) == 0o755
    assert mode(others / "file") == 0o644


@pytest.mark.parametrize("kind", ["home", "like /tmp"])
def test_a_folder_that_others_use_as_well_is_left_and_said(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, kind: str
) -> None:
    settings = a_folder(tmp_path / "data")
    (settings.data / "somebody else's").write_text("x")
    spoil(settings.data, 0o644, 0o755)
    if kind == "home":
        monkeypatch.setenv("HOME", str(settings.data))
    else:
        settings.data.chmod(0o1777)
    (sentence,) = make_private(settings)
    assert "others use too" in sentence
    assert "BRADAWL_DATA" in sentence
    open_still = wrong(settings.data)
    assert set(open_still) == {".", "somebody else's"}


class Forbidding:
    """Changes of modes that the system refuses, or takes and forgets."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch, number: int) -> None:
        def refused(path: Path, mode: int) -> None:
            if number:
                raise OSError(number, os.strerror(number), str(path))

        monkeypatch.setattr(Path, "chmod", refused)


@pytest.mark.parametrize(
    ("number", "said"),
    [
        (errno.EPERM, "Run it as the owner, or make the folder its own: sudo chown -R"),
        (errno.EROFS, "the file system is read-only. Make it writable"),
        (0, "doesn't keep permissions. Name a folder on a disk of this computer"),
    ],
)
def test_what_cannot_be_made_private_is_said_with_what_to_do(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, number: int, said: str
) -> None:
    settings = a_folder(tmp_path / "data")
    make_private(settings)
    settings.data.chmod(0o755)
    (settings.data / "bradawl.sqlite3").chmod(0o644)
    Forbidding(monkeypatch, number)
    (sentence,) = make_private(settings)
    assert sentence.startswith(f"Other users of this computer can read {settings.data} (mode 755)")
    assert "and 1 more" in sentence
    assert said in sentence


@pytest.mark.parametrize("number", [errno.EPERM, errno.EROFS])
def test_what_is_private_already_needs_no_rights_to_be_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, number: int
) -> None:
    settings = a_folder(tmp_path / "data")
    make_private(settings)
    Forbidding(monkeypatch, number)
    assert make_private(settings) == []


AS_NOBODY = """
import os, pathlib, sys
from bradawl import language
from bradawl.common import settings
from bradawl.access.core.private_files import make_private
chosen = settings.at(pathlib.Path(sys.argv[1]))  # loads what only root may read here
language.ids()
os.setuid(65534)
print(*make_private(chosen))
"""


@pytest.mark.skipif(os.geteuid() != 0, reason="only root can become somebody else")
def test_the_start_of_somebody_who_is_not_the_owner_says_so() -> None:
    """Really another user: a process that gave up being root, on a folder of root's."""
    with tempfile.TemporaryDirectory() as folder:
        Path(folder).chmod(0o755)
        settings = a_folder(Path(folder) / "data")
        spoil(settings.data, 0o666, 0o777)
        said = run_as_nobody(settings.data)
    assert "It belongs to root, but Bradawl runs as nobody" in said
    assert f"sudo chown -R nobody {settings.data}" in said


def run_as_nobody(data: Path) -> str:
    done = subprocess.run(
        [sys.executable, "-c", AS_NOBODY, str(data)], capture_output=True, text=True, check=True
    )
    return done.stdout


def test_every_folder_and_file_of_a_start_is_known_by_name(tmp_path: Path) -> None:
    """What a later part of the program puts into the data folder must be named in `OWN`."""
    settings = a_folder(tmp_path / "data")
    named = {path for pattern in private_files.OWN for path in settings.data.glob(pattern)}
    named |= set(settings.data.glob("bradawl.sqlite3*")) | {settings.data / "photos"}
    assert set(settings.data.iterdir()) <= named
