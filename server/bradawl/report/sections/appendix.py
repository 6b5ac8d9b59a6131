"""What follows the areas: work done, evidence, gaps, amendments, cautions and method.

Import only after `typeface.register()`.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from reportlab.platypus import Flowable

from bradawl.inspection import cell_values
from bradawl.judge.values import amounts
from bradawl.judge.values.words import GRADE_WORDS
from bradawl.report.layout.context import PageContext
from bradawl.report.layout.flowables import KeptTogether, table
from bradawl.report.model.texts import counted, measured_text, path_text, when_of
from bradawl.report.model.work_done import FinishedJob, finished_jobs
from bradawl.report.sections.areas import photo_grid

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
    out = page.heading("not-inspected", "Not inspected, and why")
    rows = []
    for area in page.contents.areas:
        by_why: dict[str, list[str]] = {}
        for title, why in area.unseen:
            by_why.setdefault(why, []).append(title)
        rows += [
            [page.markup(text) for text in (area.title, ", ".join(titles), why)]
            for why, titles in by_why.items()
        ]
    if not rows:
        return [*out, page.paragraph("Every item that applies to this car was inspected.")]
    return [
        *out,
        page.paragraph("What nobody looked at is unknown. Unknown is never “fine”."),
        table(["Area", "Not inspected", "Why"], rows, page.columns(0.20, 0.52, 0.28)),
    ]


def work_done(page: PageContext) -> list[Flowable]:
    """What was done since the inspection: each finding before and after."""
    jobs = finished_jobs(page.view)
    if not jobs:
        return []
    out = page.heading("work-done", "Work done since")
    out.append(
        page.paragraph(
            "The areas above show the car as it was inspected. What follows was entered by the "
            "workshop afterwards, and nobody but the workshop vouches for it."
        )
    )
    for job in jobs:
        out.append(KeptTogether(_job(page, job)))
        if job.photos:
            out.append(photo_grid(page, job.photos))
    return out


def _job(page: PageContext, job: FinishedJob) -> list[Flowable]:
    facts = [job.date, f"by {job.by}" if job.by else "", job.odometer and f"at {job.odometer}"]
    if job.cost is not None:
        currency = cell_values.currency(page.view.cells)
        facts.append(f"cost {amounts.money_text(job.cost, currency)}")
    block: list[Flowable] = [
        page.plain(job.title, "h2"),
        page.plain(", ".join(fact for fact in facts if fact), "small"),
    ]
    for label, text in (("Parts", job.parts), ("Note", job.note)):
        if text:
            block.append(page.paragraph(f"{label}: {page.lines(text)}"))
    rows = [
        [
            page.markup(finding.title),
            GRADE_WORDS.get(finding.before, "not graded"),
            f"<b>{GRADE_WORDS.get(finding.after, 'not looked at again')}</b>",
            page.markup("; ".join(f"{title}: {text}" for title, text in finding.readings)),
        ]
        for finding in job.findings
    ]
    if rows:
        head = ["Finding", "Before", "Afterwards", "Measured afterwards"]
        block.append(table(head, rows, page.columns(0.36, 0.14, 0.18, 0.32)))
    return block


_EVIDENCE = {
    "documented": "a document",
    "seen": "seen, no document",
    "claimed": "claimed only",
    "unknown": "nothing known",
}


def evidence(page: PageContext) -> list[Flowable]:
    """What maintenance there is proof of: without a document it counts as due."""
    lines = cell_values.mappings(page.view.assessment.get("baseline"))
    if not lines:
        return []
    rows = []
    for line in sorted(lines, key=lambda line: (not line.get("due"), str(line.get("title")))):
        title = str(line.get("title") or "")
        kind = _EVIDENCE.get(str(line.get("evidence")), line.get("evidence") or "")
        why = str(line.get("text") or "").removeprefix(f"{title}: ")
        why = why.removeprefix("due, ").removeprefix("documented, ")
        due = "<b>due</b>" if line.get("due") else "not due"
        rows.append([page.markup(title), page.markup(kind), due, page.markup(why)])
    due_count = sum(1 for line in lines if line.get("due"))
    return [
        *page.heading("evidence", "Evidence for maintenance"),
        page.paragraph(
            f"{due_count} of {len(lines)} count as due. What has no document was not done, "
            "whatever was claimed."
        ),
        table(["What", "Evidence", "So it is", "Why"], rows, page.columns(0.28, 0.18, 0.10, 0.44)),
    ]


def amendments(page: PageContext) -> list[Flowable]:
    """What was recorded after the seal: when, by which device, what was there before."""
    events = page.view.amendments
    if not events:
        return []
    sealed = page.view.sealed_cells or {}
    rows = [
        [
            page.markup(text)
            for text in (
                when_of(event.get("rank") or event["at"]),
                page.view.device_name(event["device"]),
                path_text(event["put"], page.title_of, ": "),
                _sealed_text(sealed.get(event["put"])),
                "erased" if event.get("erased") else _value_text(event["value"]),
            )
        ]
        for event in events
    ]
    head = ["When", "By", "What", "Under the seal", "Afterwards"]
    return [
        *page.heading("amendments", "Amendments after the seal"),
        page.paragraph(
            "The seal does not cover what follows. It was recorded afterwards; the areas above "
            "show the car with these changes and mark them."
        ),
        table(head, rows, page.columns(0.14, 0.16, 0.26, 0.22, 0.22)),
    ]


def _sealed_text(cell: Mapping[str, Any] | None) -> str:
    if cell is None:
        return "not recorded"
    return "erased" if cell.get("erased") else _value_text(cell.get("value"))


def _value_text(value: object) -> str:
    if value is None:
        return "taken back"
    if not isinstance(value, Mapping):
        return cell_values.words(value)
    if "grade" in value:
        grade = cell_values.words(value["grade"])
        return GRADE_WORDS.get(grade, grade)
    if "caption" in value:
        return cell_values.photo(value).caption or "a photo"
    reading = cell_values.reading(value)
    if reading is None:
        return "a record of several values"
    return measured_text(reading.typed, reading.unit)


def cautions(page: PageContext) -> list[Flowable]:
    """What the report is not, and what can hurt whoever works on the car."""
    return [
        *page.heading("cautions", "Cautions and scope"),
        page.paragraph(
            "This report says what one person saw, measured and was told at one place on one "
            "day, with simple tools and without taking things apart. It is no roadworthiness "
            "certificate and replaces no licensed inspection. Local law decides whether a car "
            "may be on the road. Work on brakes, steering, fuel, airbags, belts and high-voltage "
            "ignition belongs to people who are trained and, where the law asks it, licensed. A "
            "claim without a document is not evidence that work was done."
        ),
        *(
            page.paragraph(f"<b>{page.markup(title)}.</b> {page.markup(text)}")
            for title, text in page.contents.cautions
        ),
    ]


def in_full(page: PageContext) -> list[Flowable]:
    """What the first page had no room for."""
    if not page.in_full:
        return []
    return [
        *page.heading("in-full", "First page, in full"),
        *(
            page.paragraph(f"<b>{page.markup(label)}:</b> {page.markup(text)}")
            for label, text in page.in_full
        ),
    ]


def method(page: PageContext) -> list[Flowable]:
    """How grades come about, where limits come from, and what this file could not print."""
    out = [
        *page.heading("method", "Method and sources"),
        page.paragraph(
            "Grades: <b>no fault</b>; <b>minor</b>, no notable effect on safety; <b>major</b>, "
            "may impair safety, or needs work before regular use; <b>dangerous</b>, a direct and "
            "immediate risk. A grade that follows from a reading names its limit and the limit’s "
            "source; a person may overrule it with a reason, and then both stand here. "
            "“Common practice” is the trade’s habit without a published source."
        ),
        page.paragraph(
            "The file is laid out for long keeping after PDF/A-3b; files made in this way passed a "
            "validator, this very file was not put to one. It carries the record as an attached "
            "file, record.json.",
            "small",
        ),
    ]
    by_status: dict[str, list[str]] = {}
    for title, status in page.contents.sources:
        by_status.setdefault(status, []).append(title)
    if by_status:
        rows = [
            [page.markup(status), page.markup("; ".join(titles))]
            for status, titles in sorted(by_status.items())
        ]
        out.append(table(["How far it was checked", "Sources"], rows, page.columns(0.22, 0.78)))
    return out + _not_printed(page)


def _not_printed(page: PageContext) -> list[Flowable]:
    """What of the record this file could not print; asked last, when all else is set."""
    out = []
    if page.printable.cut:
        texts = counted(page.printable.cut, "One text is", "texts are")
        out.append(
            page.paragraph(f"{texts} too long for paper and cut; the record has them whole.")
        )
    if page.printable.gaps:
        scripts = ", ".join(
            f"{count} {name}" for name, count in sorted(page.printable.gaps.items())
        )
        out.append(
            page.paragraph(
                "Some recorded text is in a script that this report’s font cannot print, and is "
                f"marked where it stands ({page.markup(scripts)}). The attached record has it "
                "whole."
            )
        )
    if page.photos.gaps:
        photos = counted(len(page.photos.gaps), "One photo", "photos")
        out.append(page.paragraph(f"{photos} could not be printed; the place of each says why."))
    return out
