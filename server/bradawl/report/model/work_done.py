"""Work done since the inspection, as the record has it: each job, each finding before and after."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from bradawl.inspection import cell_values
from bradawl.report.model.contents import Photo, number_text
from bradawl.report.model.edition import Shared


@dataclass(frozen=True)
class After:
    """One finding as it was inspected and as the job left it; grades may be empty."""

    title: str
    before: str
    after: str
    readings: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Done:
    """A finished job. `cost` is None in an edition without money, or when nobody said."""

    title: str
    date: str
    by: str
    odometer: str
    parts: str
    note: str
    cost: int | None
    findings: tuple[After, ...]
    photos: tuple[Photo, ...]


def done(shared: Shared) -> list[Done]:
    """Every job of the work log, the oldest first."""
    items = {str(item["id"]): item for item in shared.bundle.get("items", [])}
    found = []
    for path, cell in sorted(shared.cells.items()):
        if not path.startswith("work/") or not path.endswith("/done"):
            continue
        value = cell_values.done(cell.get("value"))
        if value is not None:
            found.append(_job(shared, items, path.removesuffix("/done"), value))
    return sorted(found, key=lambda job: (job.date, job.title))


def _job(shared: Shared, items: Mapping[str, Any], place: str, value: cell_values.Done) -> Done:
    return Done(
        title=value.title or place.rpartition("/")[2],
        date=value.date,
        by=value.by,
        odometer=_reading(value.odometer) if value.odometer else "",
        parts=value.parts,
        note=value.note,
        cost=value.cost if shared.money is not None else None,
        findings=tuple(
            _after(shared, items, f"{place}/after/{item}/", item) for item in value.items
        ),
        photos=tuple(_photos(shared, f"{place}/photos/")),
    )


def _after(shared: Shared, items: Mapping[str, Any], start: str, item: str) -> After:
    known = items.get(item, {"title": item})
    titles = {str(one["id"]): str(one.get("title")) for one in known.get("readings", [])}
    readings = []
    for path, cell in sorted(shared.cells.items()):
        inside = path.removeprefix(f"{start}readings/").split("/")
        value = cell_values.reading(cell.get("value"))
        if path.startswith(f"{start}readings/") and len(inside) == 2 and value is not None:
            title = titles.get(inside[0], inside[0])
            where = "" if inside[1] == "one" else f", {inside[1].replace('-', ' ')}"
            readings.append((f"{title}{where}", _reading(value)))
    return After(
        title=str(known["title"]),
        before=str(shared.assessment.get("items", {}).get(item, {}).get("grade") or ""),
        after=cell_values.given(shared.value(f"{start}grade")).grade,
        readings=tuple(readings),
    )


def _reading(value: cell_values.Reading) -> str:
    return number_text(value.typed, value.unit)


def _photos(shared: Shared, start: str) -> Iterable[Photo]:
    for path, cell in sorted(shared.cells.items()):
        value = cell.get("value")
        if path.startswith(start) and isinstance(value, Mapping):
            said = cell_values.photo(value)
            yield Photo(
                sha256=path.removeprefix(start), caption=said.caption, taken=said.taken, place=""
            )
