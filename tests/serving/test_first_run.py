"""The first run at the desk: five questions, each found again later, and cars to play with."""

from __future__ import annotations

import html
import json
import os
import re
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import httpx
import pytest
from fastapi.testclient import TestClient

from bradawl.access.first_run import backup_places
from bradawl.common.settings import SettingError, Settings, from_environment
from bradawl.serving.app import create_app
from tests.access.conftest import PASSPHRASE
from tests.fresh import furnished

HOME = "/desk/welcome"
LIMIT_S = 180


class Shop:
    """A desk on this computer, in the environment that its commands would have."""

    def __init__(self, settings: Settings) -> None:
        self.settings = settings
        self.app = create_app(settings)
        self.core = self.app.state.core
        self.desk = TestClient(
            self.app,
            base_url="https://localhost",
            headers={"Origin": "https://localhost"},
            client=("127.0.0.1", 50_000),
            follow_redirects=False,
        )

    def page(self, path: str = HOME) -> str:
        answer = self.desk.get(path)
        assert answer.status_code == 200, answer.text
        return html.unescape(answer.text)

    def post(self, path: str, **fields: str) -> str:
        """Where a form led."""
        answer = self.desk.post(f"{HOME}/{path}", data=fields)
        assert answer.status_code == 303, answer.text
        return str(answer.headers["location"])

    def refused(self, path: str, **fields: str) -> str:
        answer = self.desk.post(f"{HOME}/{path}", data=fields)
        assert answer.status_code == 422, answer.text
        return html.unescape(answer.text)


@pytest.fixture
def environment(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("BRADAWL_DATA", str(furnished(tmp_path / "data")))
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    for name in ("BRADAWL_BACKUPS", "BRADAWL_REGION"):
        monkeypatch.delenv(name, raising=False)
    return tmp_path


@pytest.fixture
def shop(environment: Path) -> Iterator[Shop]:
    one = Shop(from_environment())
    yield one
    one.core.close()


def test_five_answers_lead_from_one_to_the_next_and_hold(shop: Shop, environment: Path) -> None:
    assert 'href="/desk/welcome/shop"' in shop.page()
    following = shop.post("shop", name="Gannet Lane Garage", address="4 Gannet Lane")
    assert following == f"{HOME}/place"
    assert shop.core.letterhead().name == "Gannet Lane Garage"
    assert shop.core.letterhead().address == "4 Gannet Lane"

    assert shop.post("place", region="eu") == f"{HOME}/passphrase"
    # at once, without a start between: what a page of the desk is measured in
    assert shop.settings.now().region == "eu"
    assert from_environment().region == "eu"

    # no phone before there is a passphrase
    assert "needs a passphrase" in shop.refused("phone", network="yes")
    form = {"name": "Ada", "passphrase": PASSPHRASE, "again": PASSPHRASE}
    chosen = shop.desk.post("/desk/passphrase", data={**form, "next": f"{HOME}/backup"})
    assert chosen.headers["location"] == f"{HOME}/backup"

    stick = environment / "stick"
    assert "isn't a whole path" in shop.refused("backup", typed="stick")
    blocked = environment / "file"
    blocked.write_text("")
    assert "can't be made" in shop.refused("backup", typed=str(blocked / "in"))
    stick.mkdir()
    assert shop.post("backup", typed=str(stick / "Bradawl")) == f"{HOME}/phone"
    assert str(stick / "Bradawl") in shop.page("/desk/keep")
    assert from_environment().backups == stick / "Bradawl"

    assert shop.post("phone", network="yes") == f"{HOME}/phone"
    assert "start it again" in shop.page(f"{HOME}/phone")
    told = shop.page()
    for answer in ("Gannet Lane Garage", "Europe", "Set", str(stick / "Bradawl")):
        assert answer in told
    assert "Begin" not in told


def test_each_question_can_be_skipped_and_is_found_again(shop: Shop) -> None:
    places = [HOME]
    for question in ("shop", "place", "passphrase", "backup", "phone"):
        assert f'href="{HOME}/{question}"' in shop.page()
        assert "Skip" in shop.page(f"{HOME}/{question}")
        places.append(shop.post(f"{question}/skip"))
    assert places[-1] == HOME
    told = shop.page()
    assert told.count("Skipped") >= 3
    assert shop.settings.now() == shop.settings
    assert shop.post("shop", name="Later") == HOME
    assert "Later" in shop.page()


def test_what_the_environment_decides_is_not_asked(
    environment: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("BRADAWL_BACKUPS", str(environment / "there"))
    monkeypatch.setenv("BRADAWL_REGION", "us")
    shop = Shop(from_environment())
    try:
        assert "BRADAWL_BACKUPS decides" in shop.page(f"{HOME}/backup")
        assert "BRADAWL_REGION decides" in shop.page(f"{HOME}/place")
        shop.post("place", region="eu")
        assert shop.settings.now().region == "us"
    finally:
        shop.core.close()


def test_choices_that_cannot_be_read_are_named_and_stop_no_running_server(
    shop: Shop, environment: Path
) -> None:
    shop.post("place", region="eu")
    running = shop.settings.now()
    for damaged in (
        "{",
        "[]",
        '"eu"',
        "\ud800".encode("utf-16", "surrogatepass").decode("latin-1"),
    ):
        (shop.settings.data / "settings.json").write_text(damaged, "utf-8")
        with pytest.raises(SettingError, match=r"settings\.json"):
            from_environment()
        assert shop.page()
    (shop.settings.data / "settings.json").write_text(json.dumps({"region": 7, "asked": {}}))
    assert from_environment().region == "us"
    assert running.region == "eu"


def test_disks_that_could_take_backups_are_found(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Another file system stands for a stick that was plugged in: Linux has /dev/shm."""
    monkeypatch.setattr(backup_places, "MOUNTED", ("/dev/shm", "/usr", "/nowhere/*"))
    elsewhere = Path(os.path.realpath("/usr"))
    names = [one.disk for one in backup_places.found(elsewhere)]
    assert names == ["shm"]
    assert backup_places.found(Path("/dev/shm")) == []


def tree(folder: Path) -> dict[str, int]:
    return {
        str(path.relative_to(folder)): path.stat().st_size
        for path in folder.rglob("*")
        if path.is_file() and "logs" not in path.parts
    }


def test_the_sample_is_played_with_and_removed_without_a_trace(
    shop: Shop, environment: Path
) -> None:
    """Its own records, keys, ledger and address: what was here is to the byte what it was."""
    pages = ("/desk/", "/desk/compare", "/desk/board", "/desk/money", "/desk/devices")
    for page in pages:
        assert shop.page(page)
    ours = (shop.core.log.held(), len(shop.core.access.devices.all()))
    before = {name: tree(environment / name) for name in ("data", "state")}
    assert shop.post("sample").startswith(HOME)
    assert 'src="/desk/access/sample.js"' in shop.page()
    limit = time.monotonic() + LIMIT_S
    while (state := shop.core.sample.state()).kind != "ready":
        assert state.kind == "preparing", state
        assert time.monotonic() < limit
        time.sleep(0.1)
    assert state.address.startswith("http://127.0.0.1:")
    assert f'href="{state.address}/desk/"' in shop.page()
    with httpx.Client(base_url=state.address, timeout=120) as sample:
        cars = sample.get("/desk/").text
        assert "Back to your shop" in cars
        assert f"{HOME}#sample" in cars
        visits = sorted(set(re.findall(r"/desk/visits/([0-9a-f]{32})", cars)))
        assert len(visits) == 3
        report = sample.get(f"/desk/visits/{visits[0]}/report.pdf?edition=condition")
        assert report.content.startswith(b"%PDF-")
    assert (environment / "data" / "sample" / "data" / "reports.jsonl").exists()
    for page in pages:
        assert not any(visit in shop.page(page) for visit in visits)
    pid = shop.core.sample._process.pid
    assert shop.post("sample/remove").startswith(HOME)
    with pytest.raises(ProcessLookupError):
        os.kill(pid, 0)
    assert (shop.core.log.held(), len(shop.core.access.devices.all())) == ours
    after = {name: tree(environment / name) for name in ("data", "state")}
    assert set(after["data"]) - set(before["data"]) == set()
    assert _without_wal(after) == _without_wal(before)
    assert "Get the sample cars" in shop.page()


def _without_wal(trees: dict[str, Any]) -> dict[str, Any]:
    """SQLite's own files grow by being read."""
    return {
        place: {name: size for name, size in files.items() if not name.endswith(("-wal", "-shm"))}
        for place, files in trees.items()
    }
