"""What the single file is made of; it is built and tried in `make proof` (`single_file.py`)."""

from __future__ import annotations

import importlib
import runpy
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from bradawl.common.installation import program

RELEASE = Path(__file__).parents[2] / "server" / "release"
entry = runpy.run_path(str(RELEASE / "entry.py"))
recipe = runpy.run_path(str(RELEASE / "single_file.py"))
module_of: Callable[[list[str]], Any] = entry["module_of"]


def test_a_module_of_bradawl_is_started_as_python_would_and_nothing_else_is() -> None:
    assert module_of(["-m", "bradawl.cli", "backup"]) == ("bradawl.cli", ["backup"])
    child = ["-P", "-m", "bradawl.imaging.child", "7"]
    assert module_of(child) == ("bradawl.imaging.child", ["7"])
    for command in ([], ["serve"], ["-m"], ["-m", "http.server"], ["-c", "1"], ["--version"]):
        assert module_of(command) is None


@pytest.mark.parametrize(
    ("arguments", "said"),
    [(["--version"], "bradawl "), (["-P", "-m", "bradawl.cli", "--version"], "bradawl ")],
)
def test_the_entry_runs_commands_and_modules(arguments: list[str], said: str) -> None:
    done = subprocess.run(
        [sys.executable, str(RELEASE / "entry.py"), *arguments], capture_output=True, text=True
    )
    assert done.stdout.startswith(said), done.stderr
    assert done.returncode == 0
    wrong = [sys.executable, str(RELEASE / "entry.py"), "-m", "bradawl.cli", "report"]
    assert subprocess.run(wrong, capture_output=True).returncode == 2


@pytest.mark.parametrize("platform", ["linux", "darwin", "win32"])
def test_the_recipe_names_what_is_here_and_leaves_out_nothing_that_is_needed(
    platform: str, tmp_path: Path
) -> None:
    given = recipe["options"](tmp_path, tmp_path / "work", platform)
    assert given[-1] == str(RELEASE / "entry.py")
    for option, names in (("--collect-submodules", recipe["WHOLE"]), ("--collect-data", ())):
        found = {given[n + 1] for n, word in enumerate(given) if word == option}
        assert found >= set(names)
        for name in found - {"tzdata"}:  # Windows alone has no table of time zones
            assert importlib.import_module(name)
    hooks = Path(given[given.index("--additional-hooks-dir") + 1])
    assert (hooks / "hook-bradawl.py").is_file()
    needed = {line.partition(">")[0].partition("[")[0] for line in _dependencies()}
    assert not needed & set(recipe["LEFT_OUT"])


def _dependencies() -> list[str]:
    from importlib.metadata import requires

    return [line for line in requires("bradawl") or () if "extra ==" not in line]


def test_a_single_file_starts_itself(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr(sys, "frozen", True, raising=False)
    monkeypatch.setattr(sys, "executable", str(tmp_path / "bradawl"))
    assert program.command() == [str(tmp_path / "bradawl")]
    assert program.installed_by() == "file"
