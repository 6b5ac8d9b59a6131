"""A report is printed again in a process of its own, which knows nothing of the one that made it.

Apart from the rest: a mutant lives in one process, and the other would always print otherwise.
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

from bradawl.report.signing.keys import Signer
from tests.report.reprint.test_genuine import issued, visits


def test_the_command_prints_it_again_in_a_process_of_its_own(shop: Signer, tmp_path: Path) -> None:
    """Hashes of texts differ from process to process: the pages do not."""
    file = tmp_path / "report.pdf"
    file.write_bytes(issued(visits()["photos"], "partner", shop))
    done = subprocess.run(
        [sys.executable, "-m", "bradawl.cli", "verify", str(file)],
        env={**os.environ, "BRADAWL_DATA": str(tmp_path / "nobody"), "PYTHONHASHSEED": "7"},
        capture_output=True,
        text=True,
        timeout=120,
    )
    assert done.returncode == 3, done.stdout + done.stderr
    assert "The pages were printed again from the attached record, and are the same." in done.stdout
