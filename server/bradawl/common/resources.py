"""The files that travel with the package: web app, fonts, notices, checklists and the demo.

In a wheel they lie below `bradawl/bundled/`. In a checkout the checklists and the demo are read
from the top of the tree, so that an edit counts at once; the web app, the fonts and the notices
are built into `bundled/` by `make`.
"""

from __future__ import annotations

from pathlib import Path
from typing import Literal

from bradawl.language import text

Resource = Literal["web", "fonts", "notices", "checklists", "demo"]

_PACKAGE = Path(__file__).resolve().parents[1]
_CHECKOUT = _PACKAGE.parents[1]


def path_of(resource: Resource) -> Path:
    """The folder of a resource. Raises FileNotFoundError with a sentence when it is not there."""
    places = [_PACKAGE / "bundled" / resource]
    if (_CHECKOUT / "pyproject.toml").is_file() and resource in ("checklists", "demo"):
        places.insert(0, _CHECKOUT / resource)
    for place in places:
        if place.is_dir():
            return place
    raise FileNotFoundError(
        text("server-folder-missing", name=resource, places=", ".join(map(str, places)))
    )
