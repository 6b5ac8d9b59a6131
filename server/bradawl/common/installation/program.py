"""How this Bradawl is started by somebody else, and how it came onto the machine."""

from __future__ import annotations

import sys
from importlib import metadata
from pathlib import Path


def command() -> list[str]:
    """Program and first arguments that start `bradawl`, with absolute paths."""
    if getattr(sys, "frozen", False):  # one file with everything in it
        return [str(Path(sys.executable).resolve())]
    script = Path(sys.executable).parent / "bradawl"  # beside the Python that runs: its own
    if script.is_file():
        return [str(script)]
    return [sys.executable, "-m", "bradawl.cli"]


def installed_by() -> str:
    """`file`, `checkout`, or the name of the installer as it is noted in the package."""
    if getattr(sys, "frozen", False):
        return "file"
    package = metadata.distribution("bradawl")
    origin = package.read_text("direct_url.json") or ""
    if '"editable"' in origin.replace(" ", "") and "true" in origin:
        return "checkout"
    where = Path(sys.prefix).parts
    for tool in ("pipx", "uv"):
        if tool in where:
            return tool
    return "pip"
