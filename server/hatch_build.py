"""Put into a wheel what Bradawl needs beside its own code: web app, fonts, checklists, demo.

The web app is built by npm from `web/`, the fonts by `build_fonts.py`, when they are not there
yet. An editable install takes nothing: in a checkout these folders are read where they lie.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface


class BundleHook(BuildHookInterface):  # type: ignore[type-arg]
    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        if version == "editable":
            return
        root = Path(self.root)
        bundled = root / "server" / "bradawl" / "bundled"
        if not (bundled / "web" / "index.html").is_file():
            self._npm(root / "web", "ci")
            self._npm(root / "web", "run", "build")
        if not (bundled / "notices" / "fonts.json").is_file():
            if not (root / "web" / "node_modules").is_dir():
                self._npm(root / "web", "ci")
            script = root / "server" / "build_fonts.py"
            subprocess.run([sys.executable, str(script)], cwd=root, check=True)
        for folder in ("checklists", "demo"):
            for file in sorted((root / folder).rglob("*")):
                if file.is_file() and not {"__pycache__", "drawing", "screens"} & set(file.parts):
                    inside = file.relative_to(root).as_posix()
                    build_data["force_include"][str(file)] = f"bradawl/bundled/{inside}"

    def _npm(self, web: Path, *arguments: str) -> None:
        npm = shutil.which("npm")
        if npm is None:
            raise RuntimeError(
                "The web app and the fonts are not built yet and npm is not on the PATH: "
                "install Node 20 with npm, or run `make build` where they are."
            )
        subprocess.run([npm, *arguments], cwd=web, check=True)
