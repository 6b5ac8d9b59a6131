"""The command line as a shell uses it."""

from __future__ import annotations

import subprocess
import sys


def test_a_reader_that_has_seen_enough_ends_a_command_without_a_traceback() -> None:
    command = f"{sys.executable} -m bradawl.cli checklists schema | head -n 1"
    done = subprocess.run(["bash", "-c", command], capture_output=True, text=True, check=False)
    assert done.stdout.startswith("{")
    assert done.stderr == ""
