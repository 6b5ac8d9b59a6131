"""How good the shop's estimates were: by kind and area, the largest misses, what is left out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from bradawl.common.display_text import for_line
from bradawl.desk.model.labels import NAME_LIMIT
from bradawl.desk.model.money.learning import Kind, expected, kind_of
from bradawl.desk.model.money.lessons import Lesson
from bradawl.desk.model.visits.summary import Summary
from bradawl.inspection.said import job_title
from bradawl.language import text

MISSES = 20
OF_A_KIND = 200


@dataclass(frozen=True)
class Row:
    """One finished job of one car, with what its page expected of it."""

    visit: str
    car: str
    title: str
    lesson: Lesson
    expected_cents: int
    expected_hours: int


@dataclass(frozen=True)
class Group:
    """The jobs of a kind or of an area, in one currency."""

    name: str
    title: str
    currency: str
    kind: Kind


def groups_of(
    found: Sequence[tuple[Summary, Lesson]], bundle: Mapping[str, Any]
) -> tuple[list[Group], list[Group]]:
    """(kinds, areas) of what counts, those with the most jobs first."""
    kinds: dict[tuple[str, str], list[Lesson]] = {}
    areas: dict[tuple[str, str], list[Lesson]] = {}
    for _, lesson in found:
        if not lesson.is_left_out:
            kinds.setdefault((lesson.currency, lesson.job), []).append(lesson)
            areas.setdefault((lesson.currency, lesson.area), []).append(lesson)
    called = {area["id"]: area["title"] for area in bundle.get("areas", ())}
    by_kind = [
        Group(job, title_of(jobs[0], bundle), currency, kind_of(jobs))
        for (currency, job), jobs in kinds.items()
    ]
    by_area = [
        Group(area, called.get(area) or area or text("desk-money-no-area"), currency, kind_of(jobs))
        for (currency, area), jobs in areas.items()
    ]
    return _sorted(by_kind), _sorted(by_area)


def _sorted(groups: list[Group]) -> list[Group]:
    return sorted(groups, key=lambda one: (-one.kind.jobs, one.title, one.name, one.currency))


def title_of(lesson: Lesson, bundle: Mapping[str, Any]) -> str:
    """What a kind of job is called in today's checklist, else as typed, else by its id."""
    item, _, word = lesson.job.partition("/")
    rules = bundle["rules"]
    names = (
        [row["id"] for row in rules.get("baseline") or ()]
        if item == "baseline"
        else [way["id"] for way in (rules["items"].get(item) or {}).get("remedies") or ()]
    )
    if word in names:
        return job_title(lesson.job, {}, rules)
    return for_line(lesson.title or lesson.job, NAME_LIMIT)


def rows_of(found: Sequence[tuple[Summary, Lesson]], bundle: Mapping[str, Any]) -> list[Row]:
    """Every finished job as the page shows it, the largest miss of money first."""
    rows = [
        Row(
            visit=car.visit,
            car=car.name,
            title=title_of(lesson, bundle),
            lesson=lesson,
            expected_cents=round(expected(lesson.said_cents)),
            expected_hours=round(expected(lesson.said_hours)),
        )
        for car, lesson in found
    ]
    return sorted(rows, key=lambda row: (-_miss(row), row.visit, row.lesson.job))


def _miss(row: Row) -> int:
    """By how much a job missed, in cents of its currency; hours alone miss no money."""
    paid = row.lesson.paid_cents
    return abs(paid - row.expected_cents) if paid and row.expected_cents else -1
