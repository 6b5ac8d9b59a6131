"""The work log: jobs done with their evidence, and findings as they were left."""

from __future__ import annotations

import secrets
from collections.abc import Mapping
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from bradawl.desk.model import findings, photo_views, recorded
from bradawl.desk.model.changes import Puts
from bradawl.desk.model.diagnosis import turned_out
from bradawl.desk.model.labels import (
    caution_texts,
    item_of,
    item_title,
    reading_fields,
    reading_text,
    reading_title,
    units_of,
)
from bradawl.desk.model.plan.types import Job
from bradawl.inspection import cell_values
from bradawl.inspection.said import distance_text, job_title, place_text
from bradawl.inspection.snapshot import Snapshot
from bradawl.judge import judge_item, visit_facts

if TYPE_CHECKING:
    from bradawl.judge.values.types import Cells, ItemJudgment

#: What an item may be graded after a job.
AFTER = ("none", "minor", "major")


def job_fields(snapshot: Snapshot, job: Job) -> dict[str, Any]:
    """A planned job with, per finding, the readings that can be taken again."""
    rows = []
    cautions: dict[str, str] = {}
    for item in job.items:
        rule = item_of(snapshot.texts, item) or {}
        cautions |= caution_texts(snapshot.texts, rule.get("cautions", ()))
        rows.append(
            {
                "item": item,
                "title": item_title(snapshot.texts, item),
                "grade": snapshot.assessment["items"][item]["grade"],
                "readings": reading_fields(rule, item),
            }
        )
    return {
        "job": job,
        "items": rows,
        "cautions": list(cautions.values()),
        "has_fix": bool(recorded.value(snapshot, f"plan/temporary/{job.id}")),
        "photos": [
            photo_views.photo_view(path.rsplit("/", 1)[1], cell["value"], snapshot)
            for path, cell in sorted(snapshot.cells.items())
            for item in job.items
            if path.startswith(f"items/{item}/photos/") and cell["value"] is not None
        ],
        "turned_out": turned_out.open_complaints(snapshot, job.id, job.items),
    }


def judged_after(
    snapshot: Snapshot, item: str, readings: Mapping[str, Mapping[str, str]], today: str
) -> ItemJudgment:
    """The judge's word on an item by its new readings alone."""
    facts = visit_facts(snapshot.cells, today)
    cells: Cells = {
        f"items/{path}": {"value": dict(value), "at": "", "others": []}
        for path, value in readings.items()
    }
    return judge_item(item, cells, snapshot.rules, facts)


def done_jobs(snapshot: Snapshot) -> list[dict[str, Any]]:
    """Every entry of the work log, the newest first, each finding before and after."""
    rows = []
    for entry in cell_values.done_entries(snapshot.cells):
        job, value, cell = entry.job, entry.done, snapshot.cells[entry.path]
        rows.append(
            {
                "job": job,
                "path": entry.path,
                "at": entry.at,
                "finished": value.finished,
                "others": [other["value"] for other in cell["others"]],
                "device": recorded.author_of(entry.at),
                "title": job_title(job, cell["value"], snapshot.texts["rules"]),
                "date": value.date,
                "by": value.by,
                "parts": value.parts,
                "note": value.note,
                "cost_cents": value.cost_cents,
                "odometer": distance_text(asdict(value.odometer)) if value.odometer else "",
                "items": [_before_and_after(snapshot, job, item) for item in value.items],
                "photos": [
                    photo_views.photo_view(other.rsplit("/", 1)[1], photo["value"], snapshot)
                    for other, photo in sorted(snapshot.cells.items())
                    if other.startswith(f"work/{job}/photos/") and photo["value"] is not None
                ],
            }
        )
    return sorted(rows, key=lambda row: (row["date"], row["at"]), reverse=True)


def taken_back(snapshot: Snapshot, entry: cell_values.DoneEntry) -> Puts:
    """The puts that take an entry back; with a job's last one go the answers found after it.

    What an entry of before the ledger cost stays: it becomes an entry of the ledger.
    """
    puts: Puts = [(entry.path, None)]
    if entry.done.cost_cents:
        value = {
            "kind": "part",
            "amount_cents": entry.done.cost_cents,
            "date": entry.done.date,
            "what": entry.done.parts or entry.done.title,
            "jobs": [entry.job],
            "replaces": entry.path,
        }
        puts.append((f"ledger/{secrets.token_hex(6)}", value))
    others = [
        other
        for other in cell_values.done_entries(snapshot.cells)
        if other.job == entry.job and other.path != entry.path and other.done.finished
    ]
    if not others:
        puts += [
            (path, None)
            for path, cell in sorted(snapshot.cells.items())
            if path.startswith(f"work/{entry.job}/after/") and cell["value"] is not None
        ]
    return puts


def entry_at(snapshot: Snapshot, path: str) -> cell_values.DoneEntry | None:
    """The entry of the work log at a path."""
    entries = cell_values.done_entries(snapshot.cells)
    return next((entry for entry in entries if entry.path == path), None)


def finished_jobs(snapshot: Snapshot) -> set[str]:
    """The jobs that somebody says are finished."""
    return {entry.job for entry in cell_values.done_entries(snapshot.cells) if entry.done.finished}


def _before_and_after(snapshot: Snapshot, job: str, item: str) -> dict[str, Any]:
    """One finding as it was inspected and as it was left by a job."""
    rule = item_of(snapshot.texts, item)
    prefix = f"work/{job}/after/{item}/"
    after = cell_values.given(recorded.value(snapshot, f"{prefix}grade"))
    before = findings.item_view(snapshot, item)
    return {
        "item": item,
        "title": before["title"],
        "before": before["grade"],
        "readings_before": before["readings"],
        "after": after.grade or None,
        "readings_after": [
            {
                "title": reading_title(rule, path.split("/")[-2]),
                "place": "" if path.endswith("/one") else place_text(path.split("/")[-1]),
                "text": reading_text(cell["value"], units_of(rule, path.split("/")[-2])),
            }
            for path, cell in sorted(snapshot.cells.items())
            if path.startswith(f"{prefix}readings/") and cell["value"] is not None
        ],
    }
