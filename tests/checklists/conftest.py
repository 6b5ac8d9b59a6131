"""The checklists of this checkout, read once."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from bradawl.checklists.bundling import bundle
from bradawl.checklists.files import Checklist
from bradawl.checklists.loader import load

FOLDER = Path(__file__).resolve().parents[2] / "checklists"


@pytest.fixture(scope="session")
def folder() -> Path:
    return FOLDER


@pytest.fixture(scope="session")
def checklist() -> Checklist:
    return load(FOLDER)


@pytest.fixture(scope="session")
def bundled(checklist: Checklist) -> dict[str, Any]:
    return bundle(checklist)
