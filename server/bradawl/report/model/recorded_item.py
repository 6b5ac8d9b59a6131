"""Reads what was recorded of one checklist item: readings, photos, notes, what differs.

A record may hold anything; every value passes through `inspection/cell_values.py` first.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any, cast

from bradawl.inspection import cell_values
from bradawl.inspection.said import (
    Measured,
    caption,
    measured,
    place_text,
    recorded_text,
    typed_text,
)
from bradawl.inspection.wires import Wire, wires_of
from bradawl.judge import graded
from bradawl.judge.record import readings
from bradawl.language import argument, text
from bradawl.report.model.contents import Photo
from bradawl.report.model.texts import SINGLE_PLACE, grade_word, standing_alone

if TYPE_CHECKING:
    from bradawl.judge.values.types import Cells, Item, ItemJudgment, Measure, Rule

__all__ = ["PlacedReading", "RecordedItem", "recorded_items"]


#: What the phone records of a tap.
TAPPED = "yes"


@dataclass(frozen=True)
class PlacedReading:
    """One reading at one place; `measured` is None for what is no figure.

    A tap says that something is there, such as a dent on a panel of the body map.
    """

    reading: str
    place: str
    text: str
    measured: Measured | None
    is_tap: bool


def recorded_items(
    cells: Cells, rules: Mapping[str, Item], texts: Mapping[str, Any]
) -> dict[str, RecordedItem]:
    """What was recorded, by item id, of all items that a visit's cells name.

    `rules` are the checklist's items by id, `texts` its rules in the reader's language.
    """
    by_item: dict[str, Cells] = {}
    for path, cell in cells.items():
        parts = path.split("/", 2)
        if parts[0] == "items" and len(parts) == 3:
            by_item.setdefault(parts[1], {})[parts[2]] = cell
    return {item: RecordedItem(item, own, rules.get(item), texts) for item, own in by_item.items()}


class RecordedItem:
    """The cells of one item, by their paths below the item; none when nothing was recorded."""

    def __init__(
        self,
        item: str,
        cells: Cells,
        rule: Item | None = None,
        texts: Mapping[str, Any] = cell_values.NOTHING,
    ) -> None:
        self._item = item
        self._cells = cells
        self._rule = rule
        self._texts = texts
        #: by whole path, as the judge reads them
        self.cells_by_path = {f"items/{item}/{inside}": cell for inside, cell in cells.items()}

    def value(self, inside: str) -> Any:
        """The value at a path below the item, or None."""
        return cell_values.value(self._cells, inside)

    @property
    def has_content(self) -> bool:
        """Whether anything but a grade was recorded."""
        return any(
            cell.get("value") is not None or self._is_withheld(inside)
            for inside, cell in self._cells.items()
            if inside not in ("grade", "why")
        )

    @property
    def reason(self) -> str:
        """The reason that a person gave for the grade; empty without."""
        if self._is_withheld("why"):
            return text("report-withheld-note")
        return str(argument(self._argued, self._texts))

    @property
    def reason_alone(self) -> str:
        """The reason where nothing stands before it: what a person typed stays as it is."""
        return self.reason if isinstance(self._argued, str) else standing_alone(self.reason)

    @property
    def _argued(self) -> Any:
        """The reason as the judge has it: a text, or which of the checklist's words."""
        return graded(self._item, cast(Any, self.cells_by_path))[1]

    @property
    def note(self) -> str:
        """Text and note, one below the other, and what of them this copy leaves out."""
        texts = [
            text("report-withheld-note")
            if self._is_withheld(name)
            else self._told(self.value(name))
            for name in ("text", "note")
        ]
        photos = sum(
            inside.startswith("photos/") and self._is_withheld(inside) for inside in self._cells
        )
        if photos:
            texts.append(text("report-withheld-photos", count=photos))
        return "\n".join(said for said in texts if said.strip())

    def _told(self, value: Any) -> str:
        """A text as it was typed, or the checklist's words as they stand alone."""
        said = recorded_text(value, self._texts)
        return said if isinstance(value, str) else standing_alone(said)

    def _is_withheld(self, inside: str) -> bool:
        """Whether something was recorded there that this edition leaves out (`edition_filter`)."""
        cell: Any = self._cells.get(inside) or {}
        return bool(cell.get("withheld"))

    def readings(self) -> Iterator[PlacedReading]:
        """Every reading that was typed, by name and place."""
        for inside, cell in sorted(self._cells.items()):
            parts = inside.split("/")
            value = cell_values.reading(cell.get("value"))
            if parts[0] == "readings" and len(parts) == 3 and value is not None:
                yield self._placed(parts[1], parts[2], value)

    def _placed(self, reading: str, place: str, value: cell_values.Reading) -> PlacedReading:
        figure = self._figure(f"readings/{reading}/{place}", 0, value)
        said = typed_text(value.typed, value.unit) if figure is None else str(figure)
        return PlacedReading(reading, place, said, figure, value.typed == TAPPED)

    def _offered(self, reading: str) -> list[str]:
        """The units in which the checklist asks for a reading."""
        readings = self._rule["readings"] if self._rule else []
        return next((one["units"] for one in readings if one["id"] == reading), [])

    @cached_property
    def _understood(self) -> dict[tuple[str, int], Measure]:
        """What the judge made of each figure, by path and number of the value."""
        if self._rule is None:
            return {}
        measures, _ = readings.read(
            self._item, cast("Rule", self._rule), cast(Any, self.cells_by_path)
        )
        return {(measure["path"], measure.get("unseen", 0)): measure for measure in measures}

    def _figure(self, inside: str, number: int, value: cell_values.Reading) -> Measured | None:
        """A reading in the units of the report; None where nobody can read it as a figure."""
        measure = self._understood.get((f"items/{self._item}/{inside}", number))
        if measure is None or measure["number"] is None:
            return None
        offered = self._offered(measure["of"])
        return measured(measure["number"], measure["unit"], value.typed.strip(), offered)

    def wires(self, judged: ItemJudgment) -> list[Wire]:
        """The wires and bunches that were written down, in their order."""
        return wires_of(self._cells, judged, self._texts, text("report-withheld-note"))

    def photos(self) -> tuple[Photo, ...]:
        """The photos as a person put them in order, else the first taken first."""
        photos = []
        for inside, cell in self._cells.items():
            parts = inside.split("/")
            value = cell.get("value")
            if parts[0] == "photos" and len(parts) == 2 and isinstance(value, Mapping):
                photo = cell_values.photo(value)
                said = caption(value, self._texts)
                shown = Photo(parts[1], said, photo.taken, photo.place)
                photos.append((photo.order, photo.taken, shown.sha256, shown))
        return tuple(row[-1] for row in sorted(photos, key=lambda row: row[:3]))

    def concurrent(self) -> Iterator[str]:
        """Sentences about values that another device recorded without seeing these."""
        for inside, cell in sorted(self._cells.items()):
            seen = cell.get("value") is not None
            others = [other.get("value") for other in cell.get("others", [])]
            recorded = [value for value in others if value is not None]
            for number, value in enumerate(recorded, int(seen)):
                said = self._said_unseen(inside, number, value)
                if said:
                    yield said

    def _said_unseen(self, inside: str, number: int, value: object) -> str:
        """What another device recorded at a path, as the value of that number there."""
        if inside == "grade":
            grade = cell_values.given(value).grade
            return text("report-other-grade", grade=grade_word(grade)) if grade else ""
        if inside in ("note", "text") and (said := recorded_text(value, self._texts)):
            return text("report-other-text", text=said)
        if inside == "choice" and isinstance(value, str):
            path = ["choice", self._item, value]
            return text("report-other-text", text=argument({"checklist": path}, self._texts))
        read = cell_values.reading(value) if inside.startswith("readings/") else None
        if read is None:
            return ""
        place = inside.rpartition("/")[2]
        figure = str(self._figure(inside, number, read) or typed_text(read.typed, read.unit))
        if place == SINGLE_PLACE:
            return text("report-other-reading", text=figure)
        return text("report-other-reading-at", text=figure, place=place_text(place))
