"""Put into a wheel what Bradawl needs beside its own code: web app, fonts, checklists, demo.

The web app and the fonts are built by npm from `web/` when they are not there yet. An editable
install takes nothing: in a checkout these folders are read where they lie.
"""

from __future__ import annotations

import shutil
import subprocess
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
            self._build_web(root / "web")
        for folder in ("checklists", "demo"):
            for file in sorted((root / folder).rglob("*")):
                if file.is_file() and not {"__pycache__", "drawing", "screens"} & set(file.parts):
                    inside = file.relative_to(root).as_posix()
                    build_data["force_include"][str(file)] = f"bradawl/bundled/{inside}"

    def _build_web(self, web: Path) -> None:
        npm = shutil.which("npm")
        if npm is None:
            raise RuntimeError(
                "The web app is not built yet and npm is not on the PATH: "
                "install Node 20 with npm, or run `make build` where they are."
            )
        subprocess.run([npm, "ci"], cwd=web, check=True)
        subprocess.run([npm, "run", "build"], cwd=web, check=True)
