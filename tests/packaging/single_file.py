"""`python -m tests.packaging.single_file FILE`: tries a Bradawl that is one file, without Python.

An empty environment, another home, nothing on the path: it starts, serves desk and phone app, plays
the demo, decodes a photo and makes a backup in processes of its own, and signs a report.
"""

from __future__ import annotations

import json
import re
import subprocess
import sys
import tempfile
import time
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

LIMIT_S = 300


class Trial:
    """The file in a home of its own."""

    def __init__(self, file: Path, home: Path) -> None:
        self.file = file
        self.home = home
        self.environment = {"HOME": str(home), "PATH": "/nowhere", "TMPDIR": str(home / "tmp")}
        (home / "tmp").mkdir(parents=True)

    def run(self, *arguments: str) -> str:
        """What a command says. Raises AssertionError where it fails."""
        done = subprocess.run(
            [self.file, *arguments],
            env=self.environment,
            cwd=self.home,
            capture_output=True,
            text=True,
            timeout=LIMIT_S,
        )
        assert done.returncode == 0, (arguments, done.stdout, done.stderr)
        return done.stdout

    @contextmanager
    def serving(self) -> Iterator[str]:
        """Its address, as `bradawl` alone says it."""
        process = subprocess.Popen(
            [self.file],
            env=self.environment,
            cwd=self.home,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
        )
        assert process.stdout is not None
        said = ""
        try:
            for line in process.stdout:
                said += line
                found = re.search(r"(http://localhost:\d+)/desk/", line)
                if found:
                    yield found[1]
                    break
            else:
                raise AssertionError(said)
        finally:
            process.terminate()
            process.communicate(timeout=LIMIT_S)


def got(address: str) -> bytes:
    with urllib.request.urlopen(address, timeout=LIMIT_S) as answer:
        body: bytes = answer.read()
        return body


def tried(file: Path) -> dict[str, Any]:
    """Figures of a whole trial. Raises AssertionError for the first thing that does not work."""
    with tempfile.TemporaryDirectory(prefix="bradawl-single-") as folder:
        home = Path(folder) / "home"
        trial = Trial(file, home)
        began = time.monotonic()
        assert trial.run("--version").startswith("bradawl ")
        version_s = time.monotonic() - began
        assert str(file) in trial.run("installed")
        visits = re.findall(r"^([0-9a-f]{32})  ", trial.run("demo"), re.MULTILINE)
        assert len(visits) == 3
        report = home / "report.pdf"
        trial.run("report", visits[0], "-o", str(report))
        assert report.read_bytes().startswith(b"%PDF-")
        assert "genuine" in trial.run("verify", str(report)).lower()
        # as the daily backup and the decoder of pictures are started
        assert "Tested by a restore" in trial.run("-m", "bradawl.cli", "backup")
        assert trial.run("doctor").startswith("All is well.")
        began = time.monotonic()
        with trial.serving() as address:
            desk = got(f"{address}/desk/").decode()
            served_s = time.monotonic() - began
            assert all(visit in desk for visit in visits)
            assert b"<title>" in got(f"{address}/app/")
            offline = json.loads(got(f"{address}/api/v1/offline"))
            judge = json.loads(got(address + offline["judge"]))
            assert "judge/__init__.py" in judge["files"]
            page = got(f"{address}/desk/visits/{visits[-1]}/photos").decode()
            [photo, *_] = re.findall(r"/desk/photos/[0-9a-f]{64}", page)
            assert got(address + photo).startswith(b"\xff\xd8")
        left = sorted(path.name for path in (home / "tmp").iterdir())
        assert left == [], left
        return {
            "size_mb": round(file.stat().st_size / 1e6),
            "version_s": round(version_s, 1),
            "served_s": round(served_s, 1),
        }


def main() -> None:
    print(json.dumps(tried(Path(sys.argv[1]).resolve()), indent=1))


if __name__ == "__main__":
    main()
