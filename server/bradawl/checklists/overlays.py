"""Checklist texts in other languages: faults of the overlays, what they lack."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import yaml

from bradawl.checklists.shapes.tables import Overlay, Translation
from bradawl.language import text
from bradawl.language.checklist_texts import WRITTEN_IN, digest, table_texts, texts

if TYPE_CHECKING:
    from pydantic import BaseModel

    from bradawl.checklists.files import Checklist, Fault, File


def check(read: list[tuple[File, BaseModel]]) -> Iterator[Fault]:
    """Each file in the folder of its locale, each text once, and none over the language itself."""
    seen: dict[tuple[str, str], str] = {}
    for file, model in read:
        if not isinstance(model, Overlay):
            continue
        folder = file.name.split("/")[-2] if "/" in file.name else ""
        if folder != model.locale:
            yield file.fault(
                ("locale",),
                text("checklists-locale", locale=model.locale),
            )
        if model.locale == WRITTEN_IN:
            yield file.fault(("locale",), text("checklists-locale-own", locale=WRITTEN_IN))
        for name in model.texts:
            other = seen.setdefault((model.locale, name), file.name)
            if other != file.name:
                yield file.fault(
                    ("texts", name), text("checklists-text-twice", name=name, file=other)
                )


@dataclass(frozen=True)
class Standing:
    """How far a locale goes: texts translated, and the ids of the others.

    `changed` were translated from a text that is another by now, `unknown` are ids that this
    checklist has not.
    """

    locale: str
    translated: int
    lacking: tuple[str, ...]
    changed: tuple[str, ...]
    unknown: tuple[str, ...]

    def __str__(self) -> str:
        total = self.translated + len(self.lacking) + len(self.changed)
        lines = [text("checklists-texts", locale=self.locale, done=self.translated, count=total)]
        kinds: dict[str, int] = {}
        for name in self.lacking:
            kinds[name.partition("/")[0]] = kinds.get(name.partition("/")[0], 0) + 1
        if kinds:
            each = ", ".join(f"{kind}: {count}" for kind, count in sorted(kinds.items()))
            lines.append(text("checklists-lacks", kinds=each, locale=self.locale))
        lines += [text("checklists-text-changed", name=name) for name in self.changed]
        lines += [text("checklists-text-unknown", name=name) for name in self.unknown]
        return "\n".join(lines)


def holding(overlay: Mapping[str, Translation], written: Mapping[str, str]) -> dict[str, str]:
    """The translations by id; "" for one whose English text is another by now."""
    return {
        name: row.text if row.of == digest(written[name]) else ""
        for name, row in sorted(overlay.items())
        if name in written
    }


def tables(folder: Path) -> dict[str, str]:
    """The texts of the desk's tables below a folder of checklists, by id; it may have none."""
    read = [
        yaml.load(path.read_text(encoding="utf-8"), Loader=yaml.BaseLoader)
        for kind in ("symptoms", "work")
        for path in sorted((folder / kind).glob("*.yaml"))
    ]
    try:
        return table_texts(
            [symptom for file in read for symptom in file.get("symptoms", ())],
            [rule for file in read for rule in file.get("rules", ())],
        )
    except (AttributeError, KeyError, TypeError):
        return {}  # what is wrong with a table, the desk says where it reads it


def standing(
    checklist: Checklist, bundle: Mapping[str, Any], beside: Mapping[str, str]
) -> list[Standing]:
    """How far each locale of a checklist goes; `beside`: the texts of the desk's tables."""
    written = {**texts(bundle), **beside}
    rows = []
    for locale, overlay in sorted(checklist.locales.items()):
        held = holding(overlay, written)
        known, right = set(held), {name for name, said in held.items() if said}
        rows.append(
            Standing(
                locale,
                len(right),
                tuple(sorted(set(written) - known)),
                tuple(sorted(known - right)),
                tuple(sorted(set(overlay) - known)),
            )
        )
    return rows
