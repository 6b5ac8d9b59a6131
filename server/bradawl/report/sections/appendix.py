"""What follows the areas: work done, evidence, gaps, amendments, cautions and method.

Import only after `typeface.register()`.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, cast

from markupsafe import Markup
from reportlab.platypus import Flowable

from bradawl.design import mark
from bradawl.inspection import cell_values
from bradawl.inspection.said import caption, distance_text, named, typed_text
from bradawl.judge.values.grades import FAULTS
from bradawl.judge.values.saying import recorded
from bradawl.language import argument, date, paid, text
from bradawl.language.tongues import joined
from bradawl.report.layout.context import PageContext
from bradawl.report.layout.flowables import KeptTogether, bold
from bradawl.report.layout.graded import StateRow
from bradawl.report.model.texts import grade_word, path_text, when_of
from bradawl.report.model.work.done import FinishedJob, finished_jobs
from bradawl.report.sections.findings import photo
from bradawl.report.sections.repairs import mended

if TYPE_CHECKING:
    from bradawl.judge.values.types import Json

__all__ = [
    "amendments",
    "captured",
    "cautions",
    "evidence",
    "in_full",
    "method",
    "not_inspected",
    "work_done",
]


def not_inspected(page: PageContext) -> list[Flowable]:
    """Every item nobody looked at that the first pages do not name: by reason, then by area."""
    by_why: dict[str, dict[str, list[Markup]]] = {}
    whole = {area.title for area in page.contents.areas if area.untouched}
    for area in page.contents.areas:
        for item, title, _, why in area.unseen:
            if item not in page.named_unseen:
                areas = by_why.setdefault(why, {})
                areas.setdefault(area.title, []).append(page.unseen_title(item, title))
    if not by_why:
        return []
    out = page.heading("not-inspected", text("report-not-checked"))
    out.append(page.sentence("report-not-checked-meaning", "small"))
    for why, areas in by_why.items():
        out.append(page.plain(why, "standing"))
        out += [
            page.sentence(
                "report-not-checked-whole" if title in whole else "report-not-checked-area",
                "row",
                area=bold(page.markup(title)),
                titles=Markup(", ").join(titles),
            )
            for title, titles in areas.items()
        ]
    return out


def work_done(page: PageContext) -> list[Flowable]:
    """What was done since the inspection: each finding before and after."""
    jobs = finished_jobs(page.view)
    if not jobs:
        return []
    out = page.heading("work-done", text("report-work"))
    out.append(page.sentence("report-work-who"))
    for job in jobs:
        first, *rest = _job(page, job)
        out.append(KeptTogether([first, *rest[:2]]))
        out += rest[2:]
        out += [photo(page, one, page.column) for one in job.photos]
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
    for finding in job.findings:
        said = page.say(
            "report-work-finding",
            title=bold(page.markup(finding.title)),
            before=_rating(finding.before, "report-not-rated"),
            after=bold(page.markup(_rating(finding.after, "report-not-checked-again"))),
        )
        measured = joined(
            "; ",
            [text("report-labeled", label=title, text=told) for title, told in finding.readings],
        )
        line = f"{said} {page.markup(measured)}"
        is_fixed = finding.before in FAULTS and finding.item in mended(page)
        block.append(StateRow(mark("mended"), line) if is_fixed else page.paragraph(line, "row"))
    return block


def _rating(grade: str, without: str) -> str:
    return grade_word(grade) if grade else text(without)


def captured(page: PageContext) -> list[Flowable]:
    """What was captured on the spot and stands with no check; recordings by name alone."""
    shown = page.contents.captured
    if not shown:
        return []
    out = page.heading("captured", text("report-captured"))
    for when, said in shown.notes:
        told = Markup(page.lines(said))
        label = when or text("report-captured-note")
        out.append(page.sentence("report-labeled", "row", label=label, text=told))
    if shown.recordings:
        out.append(page.sentence("report-recordings-where", "small"))
    for what, length, when, of, said in shown.recordings:
        named = ", ".join(part for part in (what, length, when) if part)
        rest = joined(". ", [part for part in (of, said) if part])
        out.append(
            page.sentence("report-labeled", "row", label=bold(page.markup(named)), text=rest)
            if rest
            else page.plain(named, "row")
        )
    out += [photo(page, one, page.column) for one in shown.photos]
    if shown.withheld:
        out.append(page.sentence("report-withheld-photos", "small", count=shown.withheld))
    return out


def evidence(page: PageContext) -> list[Flowable]:
    """What maintenance there is proof of: without a document it counts as due."""
    lines = cell_values.mappings(page.view.assessment.get("baseline"))
    if not lines:
        return []
    rows: list[Flowable] = []
    for line in sorted(lines, key=lambda line: (not line.get("due"), page.view.title(line))):
        kind, due = str(line.get("evidence") or ""), line.get("due")
        status = page.say("report-due" if due else "report-not-due")
        rows.append(
            page.sentence(
                "report-service-line",
                "row",
                title=bold(page.markup(page.view.title(line))),
                status=bold(status) if due else status,
                proof=named("report-proof-" + kind, kind),
                why=page.view.said(line),
            )
        )
    due_count = sum(1 for line in lines if line.get("due"))
    return [
        *page.heading("evidence", text("report-maintenance")),
        page.sentence("report-maintenance-due", "small", due=due_count, total=len(lines)),
        *rows,
    ]


def amendments(page: PageContext) -> list[Flowable]:
    """What was recorded after the seal: when, by which device, what was there before."""
    events = page.view.amendments
    if not events:
        return []
    sealed = page.view.sealed_cells or {}
    lines = [
        page.sentence(
            "report-change-line",
            "row",
            when=when_of(event.get("rank") or event["at"], page.view.zone),
            who=page.view.device_name(event["device"]),
            what=bold(page.markup(path_text(event["put"], page.title_of, page.reading_title))),
            before=_sealed_text(page, event["put"], sealed.get(event["put"])),
            after=text("report-value-erased")
            if event.get("erased")
            else _value_text(page, event["put"], event["value"]),
        )
        for event in events
    ]
    return [
        *page.heading("amendments", text("report-changes")),
        page.sentence("report-changes-meaning", "small"),
        *lines,
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
    if path.startswith("notes/"):
        return cell_values.words(value.get("text"))
    if "length_ms" in value:
        return text("report-value-recording")
    if "caption" in value:
        return caption(value, page.view.texts) or text("report-value-photo")
    reading = cell_values.reading(value)
    if reading is None:
        return text("report-value-several")
    return typed_text(reading.typed, reading.unit)


def cautions(page: PageContext) -> list[Flowable]:
    """What the report is not, and what can hurt whoever the report is for."""
    return [
        *page.heading("cautions", text("report-cautions")),
        page.sentence("report-cautions-scope", "row"),
        *(
            page.paragraph(f"<b>{page.markup(title)}.</b> {page.markup(said)}", "row")
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
            "row",
            **{
                grade: bold(page.markup(grade_word(grade)))
                for grade in ("none", "minor", "major", "dangerous")
            },
        ),
        page.sentence("report-method-file", "small"),
    ]
    for number, (title, status) in enumerate(page.contents.sources, 1):
        said = page.say("report-source-line", number=number, title=title, status=status)
        out.append(page.paragraph(said, "small"))
    return out + _not_printed(page)


def _not_printed(page: PageContext) -> list[Flowable]:
    """What of the record this file could not print; asked last, when all else is set."""
    out: list[Flowable] = []
    if page.printable.cut:
        out.append(page.sentence("report-texts-cut", count=page.printable.cut))
    if page.photos.gaps:
        out.append(page.sentence("report-photos-missing", count=len(page.photos.gaps)))
    return out
