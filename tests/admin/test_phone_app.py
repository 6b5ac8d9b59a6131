"""The phone app as plain files: whole, at any place of a host, nothing else overwritten.

Oracles: CSP Level 3, 3.3 (what a policy in a page may say); what the app itself names.
"""

from __future__ import annotations

import html
import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from bradawl.access.network.headers import APP_POLICY
from tests.fresh import furnished

#: An address at the host's root, in any of the ways in which the build quotes it.
ROOTED = re.compile(rb"[\"'`(,]/(?:app|api)/")


def phone_app(data: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "bradawl.cli", "phone-app", *arguments]
    env = {**os.environ, "BRADAWL_DATA": str(furnished(data))}
    return subprocess.run(command, capture_output=True, text=True, check=False, env=env)


def test_everything_that_the_app_asks_for_is_there_at_the_root_and_below_a_folder(
    tmp_path: Path,
) -> None:
    for below in ("", "tools/car"):
        place = tmp_path / f"out-{below.replace('/', '-')}"
        done = phone_app(tmp_path / "data", str(place), *(["--below", below] if below else []))
        assert done.returncode == 0, done.stderr
        assert f"https://YOUR-NAME/{below}" in done.stdout
        prefix = f"/{below}" if below else ""

        worker = (place / "app" / "sw.js").read_text()
        named = set(re.findall(r"(?<=[\"'`(,])(/[\w./-]*app/[\w./-]+\.\w+)", worker))
        assert len(named) > 30
        for address in named:
            assert (place / address.removeprefix(f"{prefix}/")).is_file(), address
        names = json.loads((place / "api/v1/offline").read_text())
        for what in ("judge", "checklists", "complaints"):
            assert names[what].startswith(f"{prefix}/api/v1/")
            assert json.loads((place / names[what].removeprefix(f"{prefix}/")).read_text())
        for what in ("judge", "checklists"):
            later = names[what].removeprefix(f"{prefix}/").replace(".json", "/trouble.json")
            assert (place / later).is_file()
        if below:
            for file in place.rglob("*.*"):
                assert not ROOTED.search(file.read_bytes()) or file.name == "check.html", file

        page = (place / "app" / "index.html").read_text()
        said = re.search(r'http-equiv="Content-Security-Policy" content="([^"]+)"', page)
        assert said is not None
        # a page's own policy cannot say who frames it, and all else it says as a server does
        assert f"{html.unescape(said[1])}; frame-ancestors 'none'" in (
            APP_POLICY.replace("frame-ancestors 'none'; ", "") + "; frame-ancestors 'none'"
        )
        assert f"Content-Security-Policy: {APP_POLICY}" in (place / "headers.txt").read_text()
        assert "MIT" in (place / "app" / "about.txt").read_text()
        assert (place / "check.html").is_file()


def test_a_new_version_is_one_by_its_name_and_old_checklists_stay(tmp_path: Path) -> None:
    place = tmp_path / "out"
    version = re.compile(r"bradawl-app-([0-9a-f]{16})")
    assert phone_app(tmp_path / "data", str(place)).returncode == 0
    (first,) = version.findall((place / "app/sw.js").read_text())
    older = place / "api/v1/checklists" / f"{'0' * 64}.json"
    older.write_text("{}")
    (place / "app" / "assets" / "old.js").write_text("old")
    assert phone_app(tmp_path / "data", str(place)).returncode == 0
    assert version.findall((place / "app/sw.js").read_text()) == [first]
    assert older.exists()
    assert not (place / "app" / "assets" / "old.js").exists()
    assert phone_app(tmp_path / "data", str(place), "--below", "car").returncode == 0
    assert version.findall((place / "app/sw.js").read_text()) != [first]


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        (["full"], "has other files in it"),
        (["file.txt"], "is no folder"),
        (["new", "--below", "../up"], "is no folder of a host"),
    ],
)
def test_a_place_that_is_somebody_elses_is_refused_and_left_alone(
    tmp_path: Path, arguments: list[str], sentence: str
) -> None:
    (tmp_path / "full").mkdir()
    (tmp_path / "full" / "index.html").write_text("a site")
    (tmp_path / "file.txt").write_text("a file")
    done = phone_app(tmp_path / "data", str(tmp_path / arguments[0]), *arguments[1:])
    assert done.returncode == 1
    assert sentence in done.stderr
    assert (tmp_path / "full" / "index.html").read_text() == "a site"
    assert not (tmp_path / "new").exists()


def test_without_a_folder_the_three_ways_are_said_each_with_its_price(tmp_path: Path) -> None:
    done = phone_app(tmp_path / "data")
    assert done.returncode == 0
    assert [line[:2] for line in done.stdout.splitlines() if line[:1].isdigit()] == [
        "1.",
        "2.",
        "3.",
    ]
    assert done.stdout.count("Price: ") == 3
    assert "No real phone has been tried yet" in done.stdout
