"""A log on a database and a folder of its own, and the same behind HTTP."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from bradawl.log.event_log import Log
from tests.log.server import client_of, new_log


@pytest.fixture
def log(tmp_path: Path) -> Iterator[Log]:
    made = new_log(tmp_path)
    yield made
    made.close()


@pytest.fixture
def client(log: Log) -> Iterator[TestClient]:
    with client_of(log) as made:
        yield made
