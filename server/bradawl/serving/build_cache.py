"""What is made of the package's own files, made once: the checklist bundle, the judge's files.

Making them takes a second and tens of megabytes of models and syntax trees, and they change only
with the files they are made of. They are kept packed below the data folder under a name that
tells these files' contents, so that an ordinary start reads them and no more.
"""

from __future__ import annotations

import functools
import gzip
import hashlib
import json
import os
import sys
import zlib
from collections.abc import Callable, Iterable
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any

#: Below the data folder; may be deleted at any time.
FOLDER = "prepared"

_PACKAGE = Path(__file__).resolve().parents[1]


@dataclass(frozen=True)
class Document:
    """A JSON text as it is served: packed with gzip, named by `hash`."""

    hash: str
    packed: bytes

    @classmethod
    def of(cls, name: str, value: Any) -> Document:
        """The document of a value that has its name already."""
        text = json.dumps(value, ensure_ascii=False, separators=(",", ":"))
        return cls(name, gzip.compress(text.encode(), 9, mtime=0))

    @property
    def text(self) -> str:
        return gzip.decompress(self.packed).decode()

    @property
    def value(self) -> Any:
        return json.loads(self.text)

    @functools.cached_property
    def shared_value(self) -> Any:
        """The value, read once and kept: look at it, never change it.

        What is made of a checklist for a reader is kept by the object that it was made of.
        """
        return self.value


def checklists(folder: Path, kept_in: Path) -> Document:
    """The bundle of the checklists in `folder`. Raises ChecklistError."""

    def make() -> Document:
        from bradawl.checklists.bundling import bundle
        from bradawl.checklists.loader import load

        made = bundle(load(folder))
        return Document.of(made["hash"], made)

    return _kept("checklists", _checklist_sources(folder), kept_in, make)


def judge(kept_in: Path) -> Document:
    """The judge package's files by path, as a phone's worker loads them: at once, and later."""

    def make() -> Document:
        from bradawl.serving.judge_files import judge_files, trouble_files

        made = {"files": judge_files(), "trouble": trouble_files()}
        text = json.dumps(made, ensure_ascii=False, separators=(",", ":"))
        return Document.of(hashlib.sha256(text.encode()).hexdigest(), made)

    return _kept("judge", _judge_sources(), kept_in, make)


def are_kept(folder: Path, kept_in: Path) -> bool:
    """Whether both were made before of the files as they are now, checklists in `folder`."""
    sources = {"checklists": _checklist_sources(folder), "judge": _judge_sources()}
    return all(any(kept_in.glob(f"{name}-{_key(of)}-*")) for name, of in sources.items())


def _checklist_sources(folder: Path) -> list[Path]:
    code = [*_PACKAGE.glob("checklists/**/*.py"), *_PACKAGE.glob("judge/**/*.py")]
    return [*folder.rglob("*.yaml"), *code]


def _judge_sources() -> list[Path]:
    return [*_PACKAGE.glob("judge/**/*.py"), _PACKAGE / "serving" / "judge_files.py"]


def _kept(
    name: str, sources: Iterable[Path], folder: Path, make: Callable[[], Document]
) -> Document:
    """The document made of `sources`, read from `folder` if it was made of the same before."""
    key = _key(sources)
    for path in folder.glob(f"{name}-{key}-*.json.gz"):
        with suppress(OSError, EOFError, zlib.error):  # damaged: made anew
            packed = path.read_bytes()
            gzip.decompress(packed)
            return Document(path.name.split("-")[2].partition(".")[0], packed)
    made = make()
    with suppress(OSError):  # a folder that may only be read costs the next start a second
        folder.mkdir(mode=0o700, exist_ok=True)
        for old in folder.glob(f"{name}-*"):
            old.unlink(missing_ok=True)
        part = folder / f"{name}-{os.getpid()}.part"
        part.write_bytes(made.packed)
        part.replace(folder / f"{name}-{key}-{made.hash}.json.gz")
    return made


def _key(sources: Iterable[Path]) -> str:
    # Another Python may write the same syntax tree differently.
    digest = hashlib.sha256(sys.version.encode())
    for path in sorted(sources):
        content = path.read_bytes()
        digest.update(f"\n{path.name} {len(content)}\n".encode())
        digest.update(content)
    return digest.hexdigest()[:32]
