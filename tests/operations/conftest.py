"""A disk that may not be written."""

from __future__ import annotations

import os
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest


@pytest.fixture
def read_only(tmp_path: Path) -> Iterator[Path]:
    """A data folder whose folder of logs nobody may write, not even root."""
    data = tmp_path / "data"
    logs = data / "logs"
    logs.mkdir(parents=True)
    if os.geteuid():
        logs.chmod(0o500)
        yield data
        logs.chmod(0o700)
        return
    subprocess.run(["mount", "-t", "tmpfs", "-o", "ro", "tmpfs", str(logs)], check=True)
    try:
        yield data
    finally:
        subprocess.run(["umount", "-l", str(logs)], check=True)
