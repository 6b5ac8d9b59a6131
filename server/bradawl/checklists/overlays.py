"""Checklist texts in other languages: faults of the overlays, what they lack."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from bradawl.checklists.tables import Overlay, Translation
from bradawl.language.checklist_texts import WRITTEN_IN, digest, texts

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
                f"the locale is '{model.locale}'; put the file into locales/{model.locale}/",
            )
        if model.locale == WRITTEN_IN:
            yield file.fault(
                ("locale",), f"{WRITTEN_IN} stands beside the items themselves; edit it there"
            )
        for name in model.texts:
            other = seen.setdefault((model.locale, name), file.name)
            if other != file.name:
                yield file.fault(
                    ("texts", name), f"'{name}' is in {other} as well; keep one of the two"
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
        lines = [f"{self.locale}: {self.translated} of {total} texts"]
        kinds: dict[str, int] = {}
        for name in self.lacking:
            kinds[name.partition("/")[0]] = kinds.get(name.partition("/")[0], 0) + 1
        if kinds:
            listed = ", ".join(f"{count} of {kind}" for kind, count in sorted(kinds.items()))
            lines.append(f"  lacks {listed}; --lacking {self.locale} lists them")
        lines += [
            f"  CHANGED {name}: translate it anew from the text as it is now"
            for name in self.changed
        ]
        lines += [f"  UNKNOWN {name}: no text has this id; take it out" for name in self.unknown]
        return "\n".join(lines)


def holding(overlay: Mapping[str, Translation], written: Mapping[str, str]) -> dict[str, str]:
    """The translations by id; "" for one whose English text is another by now."""
    return {
        name: row.text if row.of == digest(written[name]) else ""
        for name, row in sorted(overlay.items())
        if name in written
    }


def standing(checklist: Checklist, bundle: Mapping[str, Any]) -> list[Standing]:
    """How far each locale of a checklist goes."""
    written = texts(bundle)
    rows = []
    for locale, overlay in sorted(checklist.locales.items()):
        held = holding(overlay, written)
        known, right = set(held), {name for name, text in held.items() if text}
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
