"""What follows the areas: work done, evidence, gaps, amendments, cautions and method.

Import only after `typeface.register()`.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, cast

from markupsafe import Markup
from reportlab.platypus import Flowable

from bradawl.inspection import cell_values
from bradawl.inspection.said import caption, distance_text, named, typed_text
from bradawl.judge.values.saying import recorded
from bradawl.language import argument, date, paid, text
from bradawl.report.layout.context import PageContext
from bradawl.report.layout.flowables import KeptTogether, bold, table
from bradawl.report.layout.typeface import gap_text
from bradawl.report.model.texts import grade_word, path_text, when_of
from bradawl.report.model.work_done import FinishedJob, finished_jobs
from bradawl.report.sections.areas import photo_grid

if TYPE_CHECKING:
    from bradawl.judge.values.types import Json

__all__ = [
    "amendments",
    "cautions",
    "evidence",
    "in_full",
    "method",
    "not_inspected",
    "work_done",
]


def not_inspected(page: PageContext) -> list[Flowable]:
    """Every item nobody looked at, by area, with the reason."""
    out = page.heading("not-inspected", text("report-not-checked"))
    rows = []
    for area in page.contents.areas:
        by_why: dict[str, list[str]] = {}
        for title, why in area.unseen:
            by_why.setdefault(why, []).append(title)
        rows += [
            [page.markup(said) for said in (area.title, ", ".join(titles), why)]
            for why, titles in by_why.items()
        ]
    if not rows:
        return [*out, page.sentence("report-not-checked-none")]
    head = page.head("area", "not-checked", "reason")
    return [
        *out,
        page.sentence("report-not-checked-meaning"),
        table(head, rows, page.columns(0.20, 0.52, 0.28)),
    ]


def work_done(page: PageContext) -> list[Flowable]:
    """What was done since the inspection: each finding before and after."""
    jobs = finished_jobs(page.view)
    if not jobs:
        return []
    out = page.heading("work-done", text("report-work"))
    out.append(page.sentence("report-work-who"))
    for job in jobs:
        out.append(KeptTogether(_job(page, job)))
        if job.photos:
            out.append(photo_grid(page, job.photos))
    return out


def _job(page: PageContext, job: FinishedJob) -> list[Flowable]:
    facts = [date(job.date, long=True)]
    facts += [text("report-work-by", name=job.by)] if job.by else []
    facts += [text("report-work-at", odometer=job.odometer)] if job.odometer else []
    if job.cost_cents is not None:
        amount = paid(job.cost_cents, cell_values.currency(page.view.cells))
        facts.append(text("report-work-cost", amount=amount))
    block: list[Flowable] = [
        page.plain(job.title, "h2"),
        page.plain(", ".join(fact for fact in facts if fact), "small"),
    ]
    if job.parts:
        block.append(page.sentence("report-work-parts", text=Markup(page.lines(job.parts))))
    if job.note:
        block.append(page.sentence("report-note", text=Markup(page.lines(job.note))))
    rows = [
        [
            page.markup(finding.title),
            page.markup(_rating(finding.before, "report-not-rated")),
            bold(page.markup(_rating(finding.after, "report-not-checked-again"))),
            page.markup(
                "; ".join(
                    text("report-labeled", label=title, text=said)
                    for title, said in finding.readings
                )
            ),
        ]
        for finding in job.findings
    ]
    if rows:
        head = page.head("finding", "before", "after", "measured-after")
        block.append(table(head, rows, page.columns(0.36, 0.14, 0.18, 0.32)))
    return block


def _rating(grade: str, without: str) -> str:
    return grade_word(grade) if grade else text(without)


def evidence(page: PageContext) -> list[Flowable]:
    """What maintenance there is proof of: without a document it counts as due."""
    lines = cell_values.mappings(page.view.assessment.get("baseline"))
    if not lines:
        return []
    rows = []
    for line in sorted(lines, key=lambda line: (not line.get("due"), page.view.title(line))):
        title = page.view.title(line)
        kind = str(line.get("evidence") or "")
        why = page.view.said(line)
        due = line.get("due")
        status = page.say("report-due" if due else "report-not-due")
        rows.append(
            [
                page.markup(title),
                page.markup(named("report-proof-" + kind, kind)),
                bold(status) if due else status,
                page.markup(why),
            ]
        )
    due_count = sum(1 for line in lines if line.get("due"))
    return [
        *page.heading("evidence", text("report-maintenance")),
        page.sentence("report-maintenance-due", due=due_count, total=len(lines)),
        table(
            page.head("service", "proof", "status", "reason"),
            rows,
            page.columns(0.28, 0.18, 0.10, 0.44),
        ),
    ]


def amendments(page: PageContext) -> list[Flowable]:
    """What was recorded after the seal: when, by which device, what was there before."""
    events = page.view.amendments
    if not events:
        return []
    sealed = page.view.sealed_cells or {}
    rows = [
        [
            page.markup(said)
            for said in (
                when_of(event.get("rank") or event["at"], page.view.zone),
                page.view.device_name(event["device"]),
                path_text(event["put"], page.title_of, page.reading_title),
                _sealed_text(page, event["put"], sealed.get(event["put"])),
                text("report-value-erased")
                if event.get("erased")
                else _value_text(page, event["put"], event["value"]),
            )
        ]
        for event in events
    ]
    return [
        *page.heading("amendments", text("report-changes")),
        page.sentence("report-changes-meaning"),
        table(
            page.head("when", "by", "what", "signed", "later"),
            rows,
            page.columns(0.14, 0.16, 0.26, 0.22, 0.22),
        ),
    ]


def _sealed_text(page: PageContext, path: str, cell: Mapping[str, Any] | None) -> str:
    if cell is None:
        return text("report-value-none")
    if cell.get("erased"):
        return text("report-value-erased")
    return _value_text(page, path, cell.get("value"))


def _value_text(page: PageContext, path: str, value: object) -> str:
    if value is None:
        return text("report-value-withdrawn")
    if isinstance(value, bool):
        return text("report-value-yes" if value else "report-value-no")
    if tapped := argument(recorded(cast("Json", value)), page.view.texts):
        return str(tapped)
    if not isinstance(value, Mapping):
        said = cell_values.words(value)
        build = "report-build-" + path.removeprefix("car/") + "-" + said
        return named(build, page.choice_title(path, said))
    if path in ("car/odometer", "about/distance_home"):
        return distance_text(value)
    if "grade" in value:
        return grade_word(cell_values.words(value["grade"]))
    if "caption" in value:
        return caption(value, page.view.texts) or text("report-value-photo")
    reading = cell_values.reading(value)
    if reading is None:
        return text("report-value-several")
    return typed_text(reading.typed, reading.unit)


def cautions(page: PageContext) -> list[Flowable]:
    """What the report is not, and what can hurt whoever works on the car."""
    return [
        *page.heading("cautions", text("report-cautions")),
        page.sentence("report-cautions-scope"),
        *(
            page.paragraph(f"<b>{page.markup(title)}.</b> {page.markup(said)}")
            for title, said in page.contents.cautions
        ),
    ]


def in_full(page: PageContext) -> list[Flowable]:
    """What the first page had no room for."""
    if not page.in_full:
        return []
    return [
        *page.heading("in-full", text("report-in-full")),
        *(
            page.sentence("report-labeled", label=bold(page.markup(label)), text=said)
            for label, said in page.in_full
        ),
    ]


def method(page: PageContext) -> list[Flowable]:
    """How grades come about, where limits come from, and what this file could not print."""
    out = [
        *page.heading("method", text("report-method")),
        page.sentence(
            "report-method-grades",
            **{
                grade: bold(page.markup(grade_word(grade)))
                for grade in ("none", "minor", "major", "dangerous")
            },
        ),
        page.sentence("report-method-file", "small"),
    ]
    by_status: dict[str, list[str]] = {}
    for title, status in page.contents.sources:
        by_status.setdefault(status, []).append(title)
    if by_status:
        rows = [
            [page.markup(status), page.markup("; ".join(titles))]
            for status, titles in sorted(by_status.items())
        ]
        out.append(table(page.head("checked", "sources"), rows, page.columns(0.22, 0.78)))
    return out + _not_printed(page)


def _not_printed(page: PageContext) -> list[Flowable]:
    """What of the record this file could not print; asked last, when all else is set."""
    out: list[Flowable] = []
    if page.printable.cut:
        out.append(page.sentence("report-texts-cut", count=page.printable.cut))
    if page.printable.gaps:
        scripts = [gap_text(name, count) for name, count in sorted(page.printable.gaps.items())]
        out.append(page.sentence("report-text-gaps", scripts=", ".join(scripts)))
    if page.photos.gaps:
        out.append(page.sentence("report-photos-missing", count=len(page.photos.gaps)))
    return out
