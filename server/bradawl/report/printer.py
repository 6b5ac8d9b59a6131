"""Names the program that draws reports: the same name, the same pages from the same record.

Pages are compared by printing them again, which says nothing where another version printed them.
"""

from __future__ import annotations

import functools
import hashlib
from importlib.metadata import version
from pathlib import Path

from bradawl.common.resources import path_of
from bradawl.report.pdf import faces

__all__ = ["printer"]

_PACKAGE = Path(__file__).resolve().parents[1]
#: Parts of this package that have a say in a page, and what of them is no program.
_PARTS = ("common", "design", "desk/model", "imaging", "inspection", "judge", "language", "report")
_KINDS = (".py", ".ftl", ".json", ".yaml")
#: Libraries that decide where letters stand, what is said of figures and days, how a photo is set.
_LIBRARIES = (
    "babel",
    "budoux",
    "fluent.runtime",
    "pillow",
    "python-bidi",
    "reportlab",
    "uharfbuzz",
)


def printer(record: str) -> str:
    """32 hex digits over the program's files, its fonts and its libraries' versions; with the fonts
    of this machine that a record's letters need.

    Raises FileNotFoundError where the fonts are not there.
    """
    return _named(tuple(faces.installed_for(record)))


@functools.cache
def _named(installed: tuple[Path, ...]) -> str:
    digest = hashlib.sha256()
    for file in installed:
        _add(digest, file.name, file.read_bytes())
    for part in _PARTS:
        for file in sorted((_PACKAGE / part).rglob("*")):
            if file.suffix in _KINDS:
                _add(digest, file.relative_to(_PACKAGE).as_posix(), file.read_bytes())
    fonts = path_of("fonts")
    for file in sorted(fonts.iterdir()):
        _add(digest, file.name, file.read_bytes())
    for library in _LIBRARIES:
        _add(digest, library, version(library).encode())
    return digest.hexdigest()[:32]


def _add(digest: hashlib._Hash, name: str, content: bytes) -> None:
    digest.update(f"{name} {len(content)}\n".encode())
    digest.update(content)
