"""What follows the areas: gaps, evidence, amendments, cautions and method.

Import only after `typeface.register()`.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from bradawl.inspection import cell_values
from bradawl.judge.values import amounts
from bradawl.judge.values.words import GRADE_WORDS as GRADE_WORD
from bradawl.report.layout.context import Desk
from bradawl.report.layout.flowables import table, together
from bradawl.report.model.contents import number_text
from bradawl.report.model.times import when_of
from bradawl.report.model.work_done import done
from bradawl.report.sections.areas import photo_grid


def not_inspected(desk: Desk) -> list[Any]:
    """Every item nobody looked at, by area, with the reason."""
    out = desk.heading("not-inspected", "Not inspected, and why")
    rows = []
    for area in desk.contents.areas:
        by_why: dict[str, list[str]] = {}
        for name, why in area.unseen:
            by_why.setdefault(why, []).append(name)
        rows += [
            [desk.ink.markup(text) for text in (area.title, ", ".join(names), why)]
            for why, names in by_why.items()
        ]
    if not rows:
        return [*out, desk.p("Every item that applies to this car was inspected.")]
    out.append(desk.p("What nobody looked at is unknown. Unknown is never “fine”."))
    out.append(table(["Area", "Not inspected", "Why"], rows, desk.columns(0.20, 0.52, 0.28)))
    return out


def work_done(desk: Desk) -> list[Any]:
    """What was done since the inspection: each finding before and after."""
    jobs = done(desk.shared)
    if not jobs:
        return []
    ink = desk.ink
    out = desk.heading("work-done", "Work done since")
    out.append(
        desk.p(
            "The areas above show the car as it was inspected. What follows was entered by the "
            "workshop afterwards, and nobody but the workshop vouches for it."
        )
    )
    for job in jobs:
        said = [job.date, f"by {job.by}" if job.by else "", job.odometer and f"at {job.odometer}"]
        if job.cost is not None:
            said.append(
                f"cost {amounts.money_text(job.cost, cell_values.currency(desk.shared.cells))}"
            )
        block: list[Any] = [
            desk.p(ink.markup(job.title), "h2"),
            desk.p(ink.markup(", ".join(one for one in said if one)), "small"),
        ]
        for label, text in (("Parts", job.parts), ("Note", job.note)):
            if text:
                block.append(desk.p(f"{label}: {ink.lines(text)}"))
        rows = [
            [
                ink.markup(one.title),
                GRADE_WORD.get(one.before, "not graded"),
                f"<b>{GRADE_WORD.get(one.after, 'not looked at again')}</b>",
                ink.markup("; ".join(f"{title}: {text}" for title, text in one.readings)),
            ]
            for one in job.findings
        ]
        if rows:
            head = ["Finding", "Before", "Afterwards", "Measured afterwards"]
            block.append(table(head, rows, desk.columns(0.36, 0.14, 0.18, 0.32)))
        out.append(together(block))
        if job.photos:
            out.append(photo_grid(desk, job.photos))
    return out


_EVIDENCE = {
    "documented": "a document",
    "seen": "seen, no document",
    "claimed": "claimed only",
    "unknown": "nothing known",
}


def evidence(desk: Desk) -> list[Any]:
    """What maintenance there is proof of: without a document it counts as due."""
    rows = desk.shared.assessment.get("baseline")
    lines = [one for one in rows if isinstance(one, Mapping)] if isinstance(rows, list) else []
    if not lines:
        return []
    ready = []
    for one in sorted(lines, key=lambda one: (not one.get("due"), str(one.get("title")))):
        title = str(one.get("title") or "")
        why = str(one.get("text") or "").removeprefix(f"{title}: ")
        why = why.removeprefix("due, ").removeprefix("documented, ")
        ready.append(
            [
                desk.ink.markup(title),
                desk.ink.markup(_EVIDENCE.get(str(one.get("evidence")), one.get("evidence") or "")),
                "<b>due</b>" if one.get("due") else "not due",
                desk.ink.markup(why),
            ]
        )
    due = sum(1 for one in lines if one.get("due"))
    return [
        *desk.heading("evidence", "Evidence for maintenance"),
        desk.p(
            f"{due} of {len(lines)} count as due. What has no document was not done, whatever was "
            "claimed."
        ),
        table(["What", "Evidence", "So it is", "Why"], ready, desk.columns(0.28, 0.18, 0.10, 0.44)),
    ]


def amendments(desk: Desk) -> list[Any]:
    """What was recorded after the seal: when, by which device, what was there before."""
    events = desk.shared.amendments
    if not events:
        return []
    out = desk.heading("amendments", "Amendments after the seal")
    out.append(
        desk.p(
            "The seal does not cover what follows. It was recorded afterwards; the areas above "
            "show the car with these changes and mark them."
        )
    )
    sealed = desk.shared.sealed_cells or {}
    rows = []
    for event in events:
        before = sealed.get(event["put"])
        rows.append(
            [
                desk.ink.markup(text)
                for text in (
                    when_of(event.get("rank") or event["at"]),
                    desk.shared.device_name(event["device"]),
                    _path_said(event["put"], desk),
                    _before_said(before),
                    "erased" if event.get("erased") else _value_said(event["value"]),
                )
            ]
        )
    head = ["When", "By", "What", "Under the seal", "Afterwards"]
    out.append(table(head, rows, desk.columns(0.14, 0.16, 0.26, 0.22, 0.22)))
    return out


def _path_said(path: str, desk: Desk) -> str:
    parts = path.split("/")
    if parts[0] == "items" and len(parts) > 2:
        title = desk.title_of(parts[1])
        inside = " ".join(part.replace("-", " ") for part in parts[2:] if part != "one")
        return f"{title}: {'photo' if parts[2] == 'photos' else inside}"
    return " ".join(parts).replace("_", " ")


def _before_said(cell: Mapping[str, Any] | None) -> str:
    if cell is None:
        return "not recorded"
    return "erased" if cell.get("erased") else _value_said(cell.get("value"))


def _value_said(value: object) -> str:
    if value is None:
        return "taken back"
    if isinstance(value, Mapping):
        if "grade" in value:
            grade = cell_values.words(value["grade"])
            return GRADE_WORD.get(grade, grade)
        if "caption" in value:
            return cell_values.photo(value).caption or "a photo"
        read = cell_values.reading(value)
        return "a record of several values" if read is None else number_text(read.typed, read.unit)
    return cell_values.words(value)


def cautions(desk: Desk) -> list[Any]:
    """What the report is not, and what can hurt whoever works on the car."""
    out = desk.heading("cautions", "Cautions and scope")
    out.append(
        desk.p(
            "This report says what one person saw, measured and was told at one place on one "
            "day, with simple tools and without taking things apart. It is no roadworthiness "
            "certificate and replaces no licensed inspection. Local law decides whether a car "
            "may be on the road. Work on brakes, steering, fuel, airbags, belts and high-voltage "
            "ignition belongs to people who are trained and, where the law asks it, licensed. A "
            "claim without a document is not evidence that work was done."
        )
    )
    for title, text in desk.contents.cautions:
        out.append(desk.p(f"<b>{desk.ink.markup(title)}.</b> {desk.ink.markup(text)}"))
    return out


def in_full(desk: Desk) -> list[Any]:
    """What the first page had no room for."""
    if not desk.in_full:
        return []
    return [
        *desk.heading("in-full", "First page, in full"),
        *(
            desk.p(f"<b>{desk.ink.markup(label)}:</b> {desk.ink.markup(text)}")
            for label, text in desk.in_full
        ),
    ]


def method(desk: Desk) -> list[Any]:
    """How grades come about, where limits come from, and what this file could not print."""
    out = desk.heading("method", "Method and sources")
    out.append(
        desk.p(
            "Grades: <b>no fault</b>; <b>minor</b>, no notable effect on safety; <b>major</b>, "
            "may impair safety, or needs work before regular use; <b>dangerous</b>, a direct and "
            "immediate risk. A grade that follows from a reading names its limit and the limit’s "
            "source; a person may overrule it with a reason, and then both stand here. "
            "“Common practice” is the trade’s habit without a published source."
        )
    )
    out.append(
        desk.p(
            "The file is laid out for long keeping after PDF/A-3b; files made in this way passed a "
            "validator, this very file was not put to one. It carries the record as an attached "
            "file, record.json.",
            "small",
        )
    )
    if desk.contents.sources:
        by_status: dict[str, list[str]] = {}
        for title, status in desk.contents.sources:
            by_status.setdefault(status, []).append(title)
        rows = [
            [desk.ink.markup(status), desk.ink.markup("; ".join(titles))]
            for status, titles in sorted(by_status.items())
        ]
        out.append(table(["How far it was checked", "Sources"], rows, desk.columns(0.22, 0.78)))
    if desk.ink.cut:
        count = desk.ink.cut
        said = "One text is" if count == 1 else f"{count} texts are"
        out.append(desk.p(f"{said} too long for paper and cut; the record has them whole."))
    if desk.ink.gaps:
        said = ", ".join(f"{count} {name}" for name, count in sorted(desk.ink.gaps.items()))
        out.append(
            desk.p(
                "Some recorded text is in a script that this report’s font cannot print, and is "
                f"marked where it stands ({desk.ink.markup(said)}). The attached record has it "
                "whole."
            )
        )
    if desk.shelf.gaps:
        count = len(desk.shelf.gaps)
        said = "One photo" if count == 1 else f"{count} photos"
        out.append(desk.p(f"{said} could not be printed; the place of each says why."))
    return out
