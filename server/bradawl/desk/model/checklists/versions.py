"""Adapted checklists: copies of the YAML files that somebody edits, and the versions kept of them.

Below the data folder: `checklists/<name>/draft/` is what is being edited, `…/versions/<hash>/`
the files of each version kept, `…/versions.jsonl` who kept which and when, and
`checklists/in-use.json` names the version that new visits begin with. Nothing is ever deleted; a
visit keeps the version that it began with, whose bundle the log holds for ever.
"""

from __future__ import annotations

import json
import os
import re
import shutil
import tempfile
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from bradawl.common.clock import now_ms
from bradawl.common.errors import ApiError
from bradawl.language import Message, message

if TYPE_CHECKING:
    from bradawl.judge.values.types import Bundle

NAME = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")
MAX_FILE_BYTES = 400_000
#: A bundle and no faults, or None and the faults as (file, line, what is wrong).
Compiled = tuple["Bundle | None", list[tuple[str, int, str]]]


class ChecklistRefusal(ApiError):
    """A change to a checklist that cannot be made; the text says why."""

    def __init__(self, sentence: Message) -> None:
        super().__init__("checklist", sentence, 422)


class UnknownChecklist(ApiError):
    """There is no checklist, or no file of one, by this name."""

    def __init__(self, sentence: Message) -> None:
        super().__init__("unknown_checklist", sentence, 404)


@dataclass(frozen=True)
class Version:
    """A version that was kept: the hash of its bundle, when (Unix ms), by whom, and why."""

    hash: str
    at_ms: int
    by: str
    note: str
    items: int


class ChecklistVersions:
    """The adapted checklists in `folder`; `base` are the ones Bradawl comes with.

    `compiled` turns a folder of YAML into (bundle, []) or (None, faults as (file, line, what is
    wrong)); `keep` keeps a bundle for ever.
    """

    def __init__(
        self,
        base: Path,
        folder: Path,
        compiled: Callable[[Path], Compiled],
        keep: Callable[[Mapping[str, Any]], Any],
        clock: Callable[[], int] = now_ms,
    ) -> None:
        self._base = base
        self._folder = folder
        self._compiled = compiled
        self._keep = keep
        self._clock = clock

    def names(self) -> list[str]:
        """The adapted checklists, by name."""
        if not self._folder.is_dir():
            return []
        return sorted(
            place.name
            for place in self._folder.iterdir()
            if NAME.fullmatch(place.name) and (place / "draft").is_dir()
        )

    def copy(self, name: str, source: str = "") -> None:
        """A new checklist from Bradawl's own, or from another's draft. Raises ChecklistRefusal."""
        if not NAME.fullmatch(name) or len(name) > 40:
            raise ChecklistRefusal(message("desk-checklists-name-wrong", name=name))
        if name in self.names():
            raise ChecklistRefusal(message("desk-checklists-name-taken", name=name))
        origin = self._draft(source) if source else self._base
        target = self._folder / name / "draft"
        for file in self._yaml_files(origin):
            self._write(target / file, (origin / file).read_bytes())

    def files(self, name: str) -> list[str]:
        """The files of a draft: areas and tables, prices, other languages, published lists."""
        return self._yaml_files(self._draft(name))

    def read(self, name: str, file: str) -> str:
        """A file's text. Raises ChecklistRefusal."""
        return self._path(name, file).read_text(encoding="utf-8")

    def save(self, name: str, file: str, text: str) -> None:
        """Keep a draft's file as it was typed, sound or not. Raises ChecklistRefusal."""
        data = text.replace("\r\n", "\n").encode()
        if len(data) > MAX_FILE_BYTES:
            most = MAX_FILE_BYTES // 1000
            raise ChecklistRefusal(message("desk-checklist-too-large", file=file, most=most))
        self._write(self._path(name, file), data)

    def check(self, name: str, file: str = "", text: str = "") -> Compiled:
        """The bundle of a draft, or its faults; `text` stands in for `file` when given."""
        draft = self._draft(name)
        if not file:
            return self._compiled(draft)
        self._path(name, file)
        with tempfile.TemporaryDirectory(prefix="bradawl-checklist-") as place:
            trial = Path(place) / "draft"
            shutil.copytree(draft, trial)
            (trial / file).write_text(text.replace("\r\n", "\n"), encoding="utf-8")
            return self._compiled(trial)

    def keep(self, name: str, by: str, note: str) -> Version:
        """Keep the draft as a version. Raises ChecklistRefusal when it has faults."""
        bundle, faults = self.check(name)
        if bundle is None:
            raise ChecklistRefusal(message("desk-checklist-keep-faults", count=len(faults)))
        if bundle["hash"] in self._hashes(name):
            raise ChecklistRefusal(message("desk-checklist-same"))
        self._keep(bundle)
        place = self._folder / name / "versions" / bundle["hash"]
        for file in self.files(name):
            self._write(place / file, self._path(name, file).read_bytes())
        version = Version(bundle["hash"], self._clock(), by, note[:200], len(bundle["items"]))
        with (self._folder / name / "versions.jsonl").open("a", encoding="utf-8") as ledger:
            ledger.write(json.dumps(version.__dict__, ensure_ascii=False) + "\n")
            ledger.flush()
            os.fsync(ledger.fileno())
        return version

    def versions(self, name: str) -> list[Version]:
        """The versions kept, the newest first."""
        self._draft(name)
        ledger = self._folder / name / "versions.jsonl"
        if not ledger.is_file():
            return []
        lines = ledger.read_text(encoding="utf-8").splitlines()
        return [Version(**json.loads(line)) for line in reversed(lines) if line]

    def bring_back(self, name: str, version: str) -> None:
        """Make a kept version's files the draft again. Raises ChecklistRefusal."""
        if version not in self._hashes(name):
            raise ChecklistRefusal(message("desk-checklist-no-version"))
        place = self._folder / name / "versions" / version
        for file in self._yaml_files(place):
            self._write(self._path(name, file), (place / file).read_bytes())

    def in_use(self) -> tuple[str, str] | None:
        """(name, hash) of the version that new visits begin with; None for Bradawl's own."""
        file = self._folder / "in-use.json"
        if not file.is_file():
            return None
        in_use = json.loads(file.read_text(encoding="utf-8"))
        return (str(in_use["name"]), str(in_use["hash"]))

    def use(self, name: str, version: str) -> None:
        """Let new visits begin with a kept version; "" for Bradawl's own.

        Raises ChecklistRefusal.
        """
        if not name:
            (self._folder / "in-use.json").unlink(missing_ok=True)
            return
        if version not in self._hashes(name):
            raise ChecklistRefusal(message("desk-checklist-no-version"))
        in_use = json.dumps({"name": name, "hash": version})
        self._write(self._folder / "in-use.json", in_use.encode())

    def _hashes(self, name: str) -> set[str]:
        return {version.hash for version in self.versions(name)}

    def _draft(self, name: str) -> Path:
        if name not in self.names():  # a listed name is a path; what was sent never becomes one
            raise UnknownChecklist(message("desk-checklists-unknown"))
        return self._folder / name / "draft"

    def _path(self, name: str, file: str) -> Path:
        if file not in self.files(name):
            raise UnknownChecklist(message("desk-checklists-unknown-file"))
        return self._draft(name) / file

    @staticmethod
    def _yaml_files(folder: Path) -> list[str]:
        places = (
            "*.yaml",
            "symptoms/*.yaml",
            "prices/*.yaml",
            "locales/*/*.yaml",
            "published/*.yaml",
        )
        paths = [path for place in places for path in sorted(folder.glob(place))]
        return [path.relative_to(folder).as_posix() for path in paths]

    @staticmethod
    def _write(path: Path, data: bytes) -> None:
        """All or nothing: a crash leaves the old file."""
        path.parent.mkdir(parents=True, exist_ok=True)
        fresh = path.with_name(f".{path.name}.new")
        with fresh.open("wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        fresh.replace(path)
