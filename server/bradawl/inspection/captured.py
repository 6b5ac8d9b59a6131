"""What was captured on the spot and belongs to no check, or not yet: photos, recordings, notes.

`media/SHA256` is a photo that nobody has sorted, or a recording, which stays there and names its
check in `item`. `notes/ID` is a note that nobody has sorted. A photo or note that was put with a
check stands there (`items/ITEM/photos/SHA256`, `items/ITEM/note`), and no longer here.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

from bradawl.inspection import cell_values
from bradawl.inspection.said import caption, clock_text

__all__ = ["KINDS", "SOUNDS", "Captured", "captured"]

Kind = Literal["photo", "voice", "engine", "note"]
SOUNDS: tuple[Kind, ...] = ("engine", "voice")
KINDS: tuple[Kind, ...] = ("photo", *SOUNDS, "note")

_SHA256 = re.compile(r"[0-9a-f]{64}")
_LONGEST_MS = 24 * 3_600_000
_ID = re.compile(r"[a-z0-9._-]{1,100}")


@dataclass(frozen=True)
class Captured:
    """One photo, recording or note.

    `text` is what a person wrote: a caption, or the note. `taken` is by the phone's own clock
    (`YYYY-MM-DDTHH:MM:SS±HH:MM`), `length_ms` of a recording, 0 where nobody knows it. `item` is
    the check that a recording belongs to, `near` the one that was open when it was captured; ""
    for none.
    """

    path: str
    kind: Kind
    text: str
    taken: str
    item: str
    near: str
    sha256: str = ""
    length_ms: int = 0

    @property
    def is_sound(self) -> bool:
        return self.kind in SOUNDS

    def when(self, *, long: bool = False) -> str:
        """The day and time by the phone's own clock; `long` writes the month out, for paper."""
        day, _, time = self.taken[:16].partition("T")
        return clock_text(cell_values.Moment(day, time, ""), long=long)

    @property
    def is_sorted(self) -> bool:
        """Whether it belongs to a check."""
        return bool(self.item)

    @property
    def length(self) -> str:
        """`0:28`; "" where nobody knows."""
        seconds = round(self.length_ms / 1000)
        return f"{seconds // 60}:{seconds % 60:02}" if self.length_ms else ""


def captured(cells: Mapping[str, Any], texts: Mapping[str, Any]) -> list[Captured]:
    """All that stands at `media/` and `notes/`, the first taken first.

    `texts` are the checklist's rules in the reader's language.
    """
    found = [
        one
        for path, cell in cells.items()
        if (one := _read(path, cell.get("value"), texts)) is not None
    ]
    return sorted(found, key=lambda one: (one.taken, one.path))


def _read(path: str, value: Any, texts: Mapping[str, Any]) -> Captured | None:
    area, _, name = path.partition("/")
    about = cell_values.mapping(value)
    if area == "notes" and "/" not in name:
        # where a report leaves it out, a text stands in its place
        said = cell_values.words(about.get("text")) or cell_values.text(value)
        return _of(path, "note", said, about) if said else None
    if area != "media" or not _SHA256.fullmatch(name) or not isinstance(value, Mapping):
        return None
    kind: Kind = next((kind for kind in SOUNDS if kind == about.get("kind")), "photo")
    return _of(path, kind, caption(value, texts), about, name)


def _of(path: str, kind: Kind, said: str, about: Mapping[str, Any], sha256: str = "") -> Captured:
    sound = kind in SOUNDS
    return Captured(
        path=path,
        kind=kind,
        text=said,
        taken=cell_values.text(about.get("taken")),
        item=_item(about.get("item")) if sound else "",
        near=_item(cell_values.mapping(about.get("near")).get("item")),
        sha256=sha256,
        length_ms=(cell_values.whole(about.get("length_ms"), 0, _LONGEST_MS) or 0) if sound else 0,
    )


def _item(value: Any) -> str:
    said = cell_values.text(value)
    return said if _ID.fullmatch(said) else ""
