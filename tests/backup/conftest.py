"""A data folder of a test's own."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.backup.data import Data


@pytest.fixture
def data(tmp_path: Path) -> Iterator[Data]:
    made = Data(tmp_path / "data")
    yield made
    made.stop()
