"""Builds Bradawl as one file that needs no Python, for the system that it is built on.

    python server/release/single_file.py [--out FOLDER] [--python PYTHON]

The steps are the same everywhere: the wheel, an environment with nothing but the locked versions
and PyInstaller, then one file. Linux was built and tried (tests/packaging/test_single_file.py);
what macOS and Windows need besides stands in README.md and was not tried.
"""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

ROOT = Path(__file__).parents[2]
ENTRY = Path(__file__).with_name("entry.py")
PYINSTALLER = "pyinstaller==6.22.3"
#: Packages of which everything goes in: they find their modules or their data by name.
WHOLE = ("bradawl", "uvicorn", "alembic", "pyhanko", "pyhanko_certvalidator", "reportlab")
#: Packages whose data is read at run time.
DATA = ("babel", "budoux", "confusable_homoglyphs", "fluent.runtime", "sqlmodel", "tzdata")
#: Development and other engines; nothing of ours loads them.
LEFT_OUT = ("tkinter", "boto3", "botocore", "psycopg", "pytest", "IPython", "numpy", "setuptools")


def name_for(platform: str) -> str:
    """The file's name on a system, as `sys.platform` calls it."""
    return "bradawl.exe" if platform == "win32" else "bradawl"


def python_of(environment: Path, platform: str) -> Path:
    """The Python of a virtual environment."""
    return (
        environment / "Scripts" / "python.exe"
        if platform == "win32"
        else environment / "bin" / "python"
    )


def options(out: Path, work: Path, platform: str) -> list[str]:
    """PyInstaller's arguments."""
    given = [
        "--onefile", "--noconfirm", "--clean", "--name", "bradawl", "--log-level", "WARN",
        "--distpath", str(out), "--workpath", str(work), "--specpath", str(work),
        "--additional-hooks-dir", str(ENTRY.parent / "hooks"),
        # licenses and versions are asked of what is installed
        "--recursive-copy-metadata", "bradawl",
    ]  # fmt: skip
    for package in WHOLE:
        given += ["--collect-submodules", package, "--collect-data", package]
    for package in DATA:
        given += ["--collect-data", package]
    for package in LEFT_OUT:
        given += ["--exclude-module", package]
    if platform == "darwin":
        given += ["--osx-bundle-identifier", "bradawl"]
    return [*given, str(ENTRY)]


def build(out: Path, python: str) -> Path:
    """The file, built below `out` for this system. Raises subprocess.CalledProcessError."""
    work = ROOT / "build" / "release"
    environment = work / "environment"
    wheels = work / "wheels"
    for old in wheels.glob("*.whl"):
        old.unlink()
    _run([sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", wheels, ROOT])
    [wheel] = wheels.glob("*.whl")
    _run([python, "-m", "venv", "--clear", environment])
    own = python_of(environment, sys.platform)
    install = [own, "-m", "pip", "install", "--quiet", "--disable-pip-version-check"]
    _run([*install, "--require-hashes", "-r", ROOT / "server" / "requirements.lock"])
    _run([*install, "--no-deps", wheel])
    _run([*install, PYINSTALLER])
    _run([own, "-m", "PyInstaller", *options(out, work / "work", sys.platform)])
    return out / name_for(sys.platform)


def _run(command: Sequence[str | os.PathLike[str]]) -> None:
    subprocess.run([os.fspath(part) for part in command], check=True, stdout=sys.stderr)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--out", type=Path, default=ROOT / "dist")
    parser.add_argument("--python", default=sys.executable)
    given = parser.parse_args()
    file = build(given.out.resolve(), given.python)
    print(f"{file}  {file.stat().st_size / 1e6:.0f} MB")


if __name__ == "__main__":
    main()
