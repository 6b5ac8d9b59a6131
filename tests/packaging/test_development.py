"""A day's work: `make dev` behind one address, and the hook that checks before a commit."""

from __future__ import annotations

import json
import os
import shutil
import signal
import socket
import subprocess
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
LIMIT_S = 120


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """Where `npm run dev`, which `make dev` runs, answers."""
    with socket.socket() as listener:
        listener.bind(("127.0.0.1", 0))
        port = listener.getsockname()[1]
    folder = tmp_path_factory.mktemp("development")
    with (folder / "output").open("wb") as output:
        process = subprocess.Popen(
            ["node_modules/.bin/vite", "--port", str(port)],
            cwd=ROOT / "web",
            env={**os.environ, "BRADAWL_DATA": str(folder / "data")},
            stdout=output,
            stderr=output,
            start_new_session=True,
        )
        try:
            yield f"http://localhost:{port}"
        finally:
            os.killpg(process.pid, signal.SIGKILL)
            process.wait()


def get(url: str) -> tuple[int, str]:
    """Status and body, once somebody listens."""
    limit = time.monotonic() + LIMIT_S
    while True:
        try:
            with urllib.request.urlopen(url, timeout=LIMIT_S) as answer:
                return answer.status, answer.read().decode()
        except urllib.error.HTTPError as error:
            return error.code, error.read().decode()
        except OSError:
            assert time.monotonic() < limit
            time.sleep(0.05)


def test_one_address_has_the_app_with_hot_reload_and_the_server(address: str) -> None:
    status, page = get(f"{address}/app/")
    assert status == 200
    assert "/app/@vite/client" in page  # brings each change into the open page
    status, offline = get(f"{address}/api/v1/offline")
    assert status == 200
    assert json.loads(offline)["protocol"] == 2
    for path in ("/desk/", "/app/check", "/about"):
        status, page = get(address + path)
        assert (status, "<title>" in page and "@vite" not in page) == (200, True), path
    assert get(f"{address}/r/nothing")[0] != 502


def test_no_service_worker_keeps_an_old_page_in_development(address: str) -> None:
    status, script = get(f"{address}/app/src/app/state/app-update.ts")
    assert status == 200
    assert '"DEV": true' in script
    assert "import.meta.env.DEV || " in script


def test_a_commit_that_the_checks_refuse_is_not_made(tmp_path: Path) -> None:
    def git(*command: str) -> subprocess.CompletedProcess[str]:
        person = ["-c", "user.name=Test", "-c", "user.email=test@example.invalid"]
        return subprocess.run(
            ["git", *person, *command], cwd=tmp_path, capture_output=True, text=True, check=False
        )

    shutil.copytree(ROOT / ".ci", tmp_path / ".ci")
    makefile = (ROOT / "Makefile").read_text(encoding="utf-8")
    hooks = makefile[makefile.index("hooks:") :].partition("\n\n")[0]
    (tmp_path / "Makefile").write_text(f"{hooks}\n\ncheck:\n\t@echo checked; test ! -e wrong\n")
    assert git("init").returncode == 0
    subprocess.run(["make", "hooks"], cwd=tmp_path, check=True, capture_output=True)
    git("add", ".")
    assert git("commit", "-m", "All is well").returncode == 0
    (tmp_path / "wrong").touch()
    git("add", ".")
    refused = git("commit", "-m", "Something is wrong")
    assert refused.returncode != 0
    assert "checked" in refused.stdout + refused.stderr
