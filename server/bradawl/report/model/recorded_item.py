"""Reads what was recorded of one checklist item: readings, photos, notes, what differs.

A record may hold anything; every value passes through `inspection/cell_values.py` first.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, cast

from bradawl.inspection import cell_values
from bradawl.judge import graded
from bradawl.judge.values import words
from bradawl.report.model.contents import Photo
from bradawl.report.model.texts import measured_text, place_suffix

if TYPE_CHECKING:
    from bradawl.judge.values.types import Cells

__all__ = ["PlacedReading", "RecordedItem", "recorded_items"]


@dataclass(frozen=True)
class PlacedReading:
    """One reading at one place: `text` is what was typed, with its unit."""

    reading: str
    place: str
    text: str


def recorded_items(cells: Cells) -> dict[str, RecordedItem]:
    """What was recorded, by item id, of all items that a visit's cells name."""
    by_item: dict[str, Cells] = {}
    for path, cell in cells.items():
        parts = path.split("/", 2)
        if parts[0] == "items" and len(parts) == 3:
            by_item.setdefault(parts[1], {})[parts[2]] = cell
    return {item: RecordedItem(item, own) for item, own in by_item.items()}


class RecordedItem:
    """The cells of one item, by their paths below the item; none when nothing was recorded."""

    def __init__(self, item: str, cells: Cells) -> None:
        self._item = item
        self._cells = cells
        #: by whole path, as the judge reads them
        self.cells_by_path = {f"items/{item}/{inside}": cell for inside, cell in cells.items()}

    def value(self, inside: str) -> Any:
        """The value at a path below the item, or None."""
        return cell_values.value(self._cells, inside)

    @property
    def has_content(self) -> bool:
        """Whether anything but a grade was recorded."""
        return any(
            cell.get("value") is not None
            for inside, cell in self._cells.items()
            if inside not in ("grade", "why")
        )

    @property
    def reason(self) -> str:
        """The reason that a person gave for the grade, a chosen one in words; empty without."""
        why = graded(self._item, cast("dict[str, Any]", self.cells_by_path))[1]
        chosen = "_" in why and why.replace("_", "").isalnum()
        return why.replace("_", " ") if chosen else why

    @property
    def note(self) -> str:
        """Text and note, one below the other."""
        texts = (cell_values.words(self.value(name)) for name in ("text", "note"))
        return "\n".join(text for text in texts if text.strip())

    def readings(self) -> Iterator[PlacedReading]:
        """Every reading that was typed, by name and place."""
        for inside, cell in sorted(self._cells.items()):
            parts = inside.split("/")
            value = cell_values.reading(cell.get("value"))
            if parts[0] == "readings" and len(parts) == 3 and value is not None:
                yield PlacedReading(parts[1], parts[2], measured_text(value.typed, value.unit))

    def photos(self) -> tuple[Photo, ...]:
        """The photos, the first taken first."""
        photos = []
        for inside, cell in self._cells.items():
            parts = inside.split("/")
            value = cell.get("value")
            if parts[0] == "photos" and len(parts) == 2 and isinstance(value, Mapping):
                photo = cell_values.photo(value)
                photos.append(Photo(parts[1], photo.caption, photo.taken, photo.place))
        return tuple(sorted(photos, key=lambda photo: (photo.taken, photo.sha256)))

    def places(self) -> Iterator[str]:
        """Places on the car that photos and readings name, in that order."""
        for photo in self.photos():
            if photo.place:
                yield photo.place
        for inside, cell in sorted(self._cells.items()):
            parts = inside.split("/")
            if parts[0] == "readings" and len(parts) == 3 and cell.get("value") is not None:
                yield parts[2]

    def concurrent(self) -> Iterator[str]:
        """Sentences about values that another device recorded without seeing these."""
        for inside, cell in sorted(self._cells.items()):
            for other in cell.get("others", []):
                value = other.get("value")
                if inside == "grade" and (grade := cell_values.given(value).grade):
                    yield f"also recorded, unseen by the other: {words.GRADE_WORDS[grade]}"
                elif inside in ("note", "text", "choice") and isinstance(value, str):
                    yield f"also recorded: {value}"
                elif inside.startswith("readings/") and (read := cell_values.reading(value)):
                    where = place_suffix(inside.rpartition("/")[2])
                    yield f"also measured{where}: {measured_text(read.typed, read.unit)}"
