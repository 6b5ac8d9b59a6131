"""A pip-installed Bradawl serves by itself: no checkout, no Node."""

from __future__ import annotations

import json
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
import zipfile
from pathlib import Path

import pytest

from tests.packaging.newcomer import play

ROOT = Path(__file__).parents[2]
PICTURES = ROOT / "demo" / "pictures"


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("wheel")
    subprocess.run(
        [sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", folder, ROOT],
        check=True,
        capture_output=True,
    )
    [built] = folder.glob("*.whl")
    return built


def test_the_wheel_carries_app_fonts_checklists_and_demo_but_no_sources_of_the_web(
    wheel: Path,
) -> None:
    names = zipfile.ZipFile(wheel).namelist()

    def under(folder: str) -> list[str]:
        return [name for name in names if name.startswith(f"bradawl/bundled/{folder}/")]

    assert "bradawl/bundled/web/index.html" in names
    assert any(name.endswith(".wasm") for name in under("web"))
    assert any(name.endswith(".ttf") for name in under("fonts"))
    assert any(name.endswith("brakes.yaml") for name in under("checklists"))
    assert any(name.endswith(".yaml") for name in under("demo"))
    photos = {f"bradawl/bundled/demo/pictures/{file.name}" for file in PICTURES.iterdir()}
    assert photos == {name for name in under("demo") if name.endswith(".jpg")}
    assert not [name for name in under("demo") if name.endswith(".py")]
    assert not [name for name in names if "node_modules" in name or name.endswith(".tsx")]


@pytest.fixture(scope="module")
def installed(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("installed")
    # The tests' own environment already holds the dependencies, of the locked versions: the
    # wheel alone is installed apart, and put first on the path.
    subprocess.run(
        [sys.executable, "-m", "pip", "install", "-q", "--no-deps", "--target", folder, wheel],
        check=True,
        capture_output=True,
    )
    return folder


def test_an_installed_wheel_serves_without_a_checkout_or_node(
    installed: Path, tmp_path: Path
) -> None:
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    environment = {
        "PATH": "/nowhere",
        "PYTHONPATH": str(installed),
        "BRADAWL_DATA": str(tmp_path / "data"),
        "HOME": str(tmp_path),
    }
    server = subprocess.Popen(
        [sys.executable, "-m", "bradawl.cli", "serve", "--port", str(port)],
        cwd=tmp_path,
        env=environment,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )
    try:
        base = f"http://localhost:{port}"
        page = _get_soon(f"{base}/app/", server)
        offline = json.loads(_get_soon(f"{base}/api/v1/offline", server))
        judge = json.loads(_get_soon(base + offline["judge"], server))
        bundle = json.loads(_get_soon(base + offline["checklists"], server))
    finally:
        server.terminate()
        output, _ = server.communicate(timeout=120)

    assert b"<title>" in page, output
    assert "judge/__init__.py" in judge["files"]
    assert len(bundle["items"]) >= 70
    assert str(installed) in _where(environment, tmp_path)


def test_a_newcomer_gets_from_the_wheel_to_the_first_photo_at_the_desk(
    installed: Path, tmp_path: Path
) -> None:
    """Ten minutes are the owner's own goal (no source); a person reads, chooses and types, so each
    decision is given ten seconds on top of what the machine takes (assumption).
    """
    command = [sys.executable, "-m", "bradawl.cli"]
    environment = {"PATH": "/nowhere", "PYTHONPATH": str(installed)}
    took = play(tmp_path, command, environment)
    assert took["decisions"] <= 32, took["what"]
    assert 10 * took["decisions"] + 60 < 600
    assert str(installed) in _where(environment, tmp_path)


def _where(environment: dict[str, str], folder: Path) -> str:
    """Which files the server ran from: the installed ones, not the checkout's."""
    return subprocess.run(
        [sys.executable, "-c", "import bradawl; print(bradawl.__file__)"],
        env=environment,
        cwd=folder,
        check=True,
        capture_output=True,
        text=True,
    ).stdout


def _get_soon(url: str, server: subprocess.Popen[str]) -> bytes:
    deadline = time.monotonic() + 120
    while True:
        try:
            with urllib.request.urlopen(url, timeout=120) as answer:
                body: bytes = answer.read()
                return body
        except urllib.error.URLError:
            if server.poll() is not None or time.monotonic() > deadline:
                raise
            time.sleep(0.1)
