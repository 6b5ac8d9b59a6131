"""Reads the work done since the inspection: each job, each finding before and after."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from bradawl.inspection import cell_values
from bradawl.inspection.said import caption, distance_text, job_title, place_text
from bradawl.language import text
from bradawl.report.model.contents import Photo
from bradawl.report.model.editions.edition import EditionView
from bradawl.report.model.recorded_item import RecordedItem
from bradawl.report.model.texts import SINGLE_PLACE

if TYPE_CHECKING:
    from bradawl.judge.values.types import Item

__all__ = ["FindingAfterwards", "FinishedJob", "finished_jobs"]


@dataclass(frozen=True)
class FindingAfterwards:
    """One finding as it was inspected and as the job left it; grades may be empty."""

    item: str
    title: str
    before: str
    after: str
    readings: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class FinishedJob:
    """A finished job. `cost_cents` is None in an edition without money, or when nobody said."""

    id: str
    title: str
    date: str
    by: str
    odometer: str
    parts: str
    note: str
    cost_cents: int | None
    findings: tuple[FindingAfterwards, ...]
    photos: tuple[Photo, ...]


def finished_jobs(view: EditionView) -> list[FinishedJob]:
    """Every job of the work log, the oldest first."""
    items = {item["id"]: item for item in view.bundle["items"]}
    jobs = []
    for entry in cell_values.done_entries(view.cells):
        jobs.append(_job(view, items, entry))
    return sorted(jobs, key=lambda job: (job.date, job.title))


def _job(view: EditionView, items: Mapping[str, Item], entry: cell_values.DoneEntry) -> FinishedJob:
    recorded, path = entry.done, f"work/{entry.job}"
    odometer = cell_values.mapping(view.value(entry.path)).get("odometer")
    return FinishedJob(
        id=entry.job,
        title=job_title(entry.job, view.value(entry.path), view.texts),
        date=recorded.date,
        by=recorded.by,
        odometer=distance_text(odometer) if recorded.odometer else "",
        parts=recorded.parts,
        note=recorded.note,
        cost_cents=recorded.cost_cents if view.money is not None else None,
        findings=tuple(
            _finding(view, items.get(item), item, f"{path}/after/{item}/")
            for item in recorded.items
        ),
        photos=tuple(_photos(view, f"{path}/photos/")),
    )


def _finding(view: EditionView, rule: Item | None, item: str, prefix: str) -> FindingAfterwards:
    defined = rule.get("readings", []) if rule else []
    titles = {reading["id"]: reading["title"] for reading in defined}
    below = {
        path.removeprefix(prefix): cell
        for path, cell in view.cells.items()
        if path.startswith(prefix)
    }
    readings = []
    for reading in RecordedItem(item, below, rule).readings():
        title = titles.get(reading.reading, reading.reading)
        if reading.place != SINGLE_PLACE:
            title = text("report-at-place", title=title, place=place_text(reading.place))
        readings.append((title, reading.text))
    return FindingAfterwards(
        item=item,
        title=rule["title"] if rule else item,
        before=view.judgment_of(item).get("grade") or "",
        after=cell_values.given(view.value(f"{prefix}grade")).grade,
        readings=tuple(readings),
    )


def _photos(view: EditionView, prefix: str) -> Iterator[Photo]:
    for sha256, value in _below(view, prefix):
        if isinstance(value, Mapping):
            photo = cell_values.photo(value)
            said = caption(value, view.texts)
            yield Photo(sha256=sha256, caption=said, taken=photo.taken, place="")


def _below(view: EditionView, prefix: str) -> Iterator[tuple[str, Any]]:
    """The rest of each path below `prefix`, with its value."""
    for path, cell in sorted(view.cells.items()):
        if path.startswith(prefix):
            yield path.removeprefix(prefix), cell.get("value")
