"""`bradawl about` and `/about`: version, what is new, whose work is carried along.

Oracle: the packages' own metadata as `importlib.metadata` reads it; the licenses' names are those
of the SPDX list; that libheif and libde265 are LGPL says their wheel's own list of what it bundles.
"""

from __future__ import annotations

import json
import re
import subprocess
import sys
from importlib.metadata import version
from pathlib import Path

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient

from bradawl import __version__
from bradawl.about.changes import changes_in
from bradawl.about.notices import notices
from bradawl.about.routes import router

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def printed() -> str:
    done = subprocess.run(
        [sys.executable, "-m", "bradawl.cli", "about", "--texts"],
        capture_output=True, text=True, check=True,
    )  # fmt: skip
    return done.stdout


def test_what_is_new_in_this_version_is_told(printed: str) -> None:
    assert printed.startswith(f"Bradawl {__version__}\n")
    changes = changes_in(__version__)
    assert changes, f"server/bradawl/about/changes.md has nothing of {__version__}"
    assert all(f"- {sentence}\n" in printed for sentence in changes)
    assert changes_in("0.0.1") == []


def test_that_bradawl_has_no_license_yet_is_said(printed: str) -> None:
    assert "No license has been chosen for Bradawl itself yet" in printed
    assert not list(ROOT.glob("LICENSE*")), "there is one: say so in about/notices.py"


def test_every_dependency_of_the_locked_list_is_named() -> None:
    lock = (ROOT / "server" / "requirements.lock").read_text(encoding="utf-8")
    locked = set(re.findall(r"^([a-z0-9-]+)==\S+ \\$", lock, re.MULTILINE))
    # what builds a wheel is not carried along; what other systems need is not installed here
    building = {"brotli", "editables", "fontpkg", "fonttools", "hatchling", "pathspec", "pluggy"}
    building |= {"tomlkit", "trove-classifiers"}
    named = {re.sub(r"[-_.]+", "-", notice.name).lower() for notice in notices()}
    assert locked - building - named == set()


def test_copyleft_is_told_apart() -> None:
    copyleft = {notice.name for notice in notices() if notice.copyleft}
    assert {"libheif", "libde265", "pikepdf", "certifi"} <= copyleft
    others = {notice.name: notice for notice in notices() if not notice.copyleft}
    assert others["fastapi"].license == "MIT"
    assert others["fastapi"].version == version("fastapi")
    assert all(notice.license for notice in notices())


def test_the_web_apps_libraries_and_the_fonts_are_named_by_the_build(printed: str) -> None:
    package = json.loads((ROOT / "web" / "package.json").read_text(encoding="utf-8"))
    named = {notice.name: notice for notice in notices()}
    assert {*package["dependencies"], "fontpkg-noto-sans", "@fontsource/vazirmatn"} <= named.keys()
    for font in ("fontpkg-noto-sans", "@fontsource/vazirmatn"):
        assert "SIL OPEN FONT LICENSE Version 1.1" in named[font].text.upper().replace(
            "VERSION", "Version"
        )
        assert named[font].text.strip() in printed


def test_the_page_tells_the_same_and_no_recorded_word() -> None:
    app = FastAPI()
    app.include_router(router())
    page = TestClient(app).get("/about")
    assert page.status_code == 200
    for notice in notices():
        assert notice.name in page.text
    assert "No license has been chosen" in page.text
    assert f"Bradawl {__version__}" in page.text
