"""The first page, and the way home with every reason.

Import only after `typeface.register()`.
"""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from typing import TYPE_CHECKING

from reportlab.platypus import Flowable, Spacer

from bradawl.inspection import cell_values
from bradawl.judge.values.grades import SEVERITY
from bradawl.language import date, measure, text
from bradawl.report.layout import charts
from bradawl.report.layout.context import PageContext
from bradawl.report.layout.flowables import (
    Anchor,
    Framed,
    KeptTogether,
    SummaryRow,
    fitted,
    grid,
    link,
    pair_rows,
    table,
)
from bradawl.report.layout.style import GRADE_COLOR, GREY, MM
from bradawl.report.layout.typeface import SANS
from bradawl.report.model.contents import Finding
from bradawl.report.model.work_done import finished_jobs

if TYPE_CHECKING:
    from bradawl.judge.values.types import DriveReason

__all__ = ["first_page", "way_home"]

#: The grade in whose color each answer is framed.
_ANSWERS = {
    "drive": "none",
    "limits": "minor",
    "trailer": "dangerous",
    "not_cleared": "uninspected",
}


def first_page(page: PageContext, price: Sequence[Flowable] = ()) -> list[Flowable]:
    """Which car, who looked, may it be driven home, what is dangerous, how much was seen.

    `price` is what a partner's first page says of money.
    """
    identity = page.identity
    issued = page.say(
        "report-issued",
        kind=text("report-kind", edition=page.view.edition),
        number=identity.number,
        date=date(identity.today, long=True),
    )
    return [
        Anchor("summary", text("report-summary")),
        page.plain(page.short(text("report-car"), page.contents.car), "title"),
        page.paragraph(issued, "subtitle"),
        *(page.paragraph(notice, "strong") for notice in _notices(page)),
        _facts(page),
        *_drive_home(page),
        *price,
        *_faults(page),
        *_coverage(page),
    ]


def _notices(page: PageContext) -> list[str]:
    """What a reader must know of the record before its contents, as markup."""
    notices: list[str] = []
    earlier = page.identity.replaces
    if earlier is not None:
        number, made = earlier
        notices.append(page.say("report-replaces", number=number, date=date(made[:10], long=True)))
    if not page.view.seals:
        notices.append(page.say("report-not-signed"))
    elif page.view.amendments:
        chapter = link("amendments", page.say("report-changes"))
        count = len(page.view.amendments)
        notices.append(page.say("report-changed-since", count=count, link=chapter))
    if page.view.verdicts is not None:
        was, is_now = page.view.verdicts
        signed_on = cell_values.moment(page.view.seals[-1].value.get("at")).date
        day = date(signed_on, long=True)
        notices.append(page.say("report-verdict-signed", date=day, verdict=was, now=is_now))
    jobs = len(finished_jobs(page.view))
    if jobs:
        chapter = link("work-done", page.say("report-work"))
        notices.append(page.say("report-jobs-since", count=jobs, link=chapter))
    return notices


def _facts(page: PageContext) -> Flowable:
    """The car's identity and the visit's facts beside each other."""
    half = page.width / 2

    def column(facts: Sequence[tuple[str, str]]) -> Flowable:
        rows = [
            [
                f'<font color="{GREY}">{page.markup(label)}</font>',  # markup: not shown
                page.markup(page.short(label, said)),
            ]
            for label, said in facts
        ]
        return table([], rows, [30 * MM, half - 30 * MM - 6], ruled=False)

    return grid(
        [column(page.contents.identity), column(page.contents.visit_facts)],
        columns=2,
        width=page.width,
    )


def _drive_home(page: PageContext) -> list[Flowable]:
    judged = page.view.assessment.get("drive_home") or {}
    answer = str(judged.get("answer") or "not_cleared")
    if answer not in _ANSWERS:
        answer = "not_cleared"
    title = text("drive-" + answer.replace("_", "-"))
    answered = page.view.said(judged) if judged else title
    inside: list[Flowable] = [page.plain(_spoken(page) or answered, "answer")]
    reasons, room = _reasons(page), _reasons_on_first_page(page)
    for reason in reasons[:room]:
        line = fitted(page.text(page.view.said(reason)), SANS, 9, page.width - 14 * MM)
        inside.append(page.paragraph("• " + escape(line, quote=False)))
    rest = len(reasons) - room
    if rest > 0:
        every = link("drive-home-reasons", page.say("report-drive-home"))
        inside.append(page.sentence("report-drive-more", count=rest, link=every))
    if judged:
        inside.append(page.plain(text("judge-drive-caution"), "small"))
    return [
        Anchor("drive-home", text("report-drive-home")),
        Framed(inside, color=GRADE_COLOR[_ANSWERS[answer]], dashed=answer == "not_cleared"),
        Spacer(0, 4),
    ]


def _spoken(page: PageContext) -> str:
    """The four answers as one paragraph; "" where an edition without money has no such."""
    decision = page.view.assessment.get("decision")
    return " ".join(page.view.said(clause) for clause in decision["spoken"]) if decision else ""


def _reasons_on_first_page(page: PageContext) -> int:
    return 5 if page.view.money is None else 2  # the price stands on that page too


def _reasons(page: PageContext) -> list[DriveReason]:
    """The reasons of the drive-home answer, the gravest items first."""

    def rank(reason: DriveReason) -> int:
        grade = page.view.judgment_of(reason.get("item", "")).get("grade")
        return -SEVERITY.index(grade) if grade else 1

    judged = page.view.assessment.get("drive_home")
    return sorted(judged.get("reasons", []), key=rank) if judged else []


def way_home(page: PageContext) -> list[Flowable]:
    """Every reason of the drive-home answer, when the first page had no room for all."""
    reasons = _reasons(page)
    if len(reasons) <= _reasons_on_first_page(page):
        return []
    lines: list[Flowable] = []
    unseen: dict[str, list[str]] = {}
    for reason in reasons:
        if reason.get("seen") is False:
            unseen.setdefault(reason["said"]["id"], []).append(page.title_of(reason["item"]))
        else:
            lines.append(page.paragraph("• " + page.markup(page.view.said(reason)), "row"))
    return [
        *page.heading("drive-home-reasons", text("report-drive-reasons")),
        page.sentence("report-drive-order", "small"),
        *([_stacks(page, lines)] if lines else []),
        *(
            page.paragraph("• " + page.say(message_id + "-all", items=", ".join(titles)), "row")
            for message_id, titles in unseen.items()
        ),
    ]


def _stacks(page: PageContext, lines: Sequence[Flowable]) -> Flowable:
    """Lines in two columns, each as tall as it comes."""
    half = (len(lines) + 1) // 2
    return pair_rows([[list(lines[:half]), list(lines[half:])]], width=page.width)


def _two_columns(page: PageContext, lines: Sequence[Flowable]) -> Flowable:
    """Rows in two columns, read down the left one first; what stands beside each other lines up."""
    half = (len(lines) + 1) // 2
    pairs = [[[line] for line in lines[at::half][:2]] for at in range(half)]
    return pair_rows(pairs, width=page.width)


def _faults(page: PageContext) -> list[Flowable]:
    """Dangerous and major findings as linked rows, and how many minor ones there are."""
    out: list[Flowable] = []
    for grade in ("dangerous", "major"):
        findings = page.contents.of_grade(grade)
        if findings:
            head = "report-faults-" + grade
            out.append(page.sentence(head, "h2", count=len(findings)))
            out += _summary_rows(page, findings)
        else:
            out.append(page.sentence("report-faults-none-" + grade, "strong"))
    minor = len(page.contents.of_grade("minor"))
    return [*out, Spacer(0, 3), page.sentence("report-faults-minor", count=minor)]


def _summary_rows(page: PageContext, findings: Sequence[Finding]) -> list[Flowable]:
    """One row a finding; in two columns when they are many, so that a page holds them."""
    few = len(findings) <= 6
    rows = []
    for finding in findings:
        title = page.text(finding.title)
        reason = page.text(finding.first_reason).removeprefix("Answer: ").removeprefix(title)
        row = SummaryRow(
            finding.key, finding.grade, title, reason.lstrip(":, "), lines=2 if few else 1
        )
        rows.append(row)
    return rows if few else [_two_columns(page, rows)]


def _coverage(page: PageContext) -> list[Flowable]:
    """How much of the car was seen, by area, and what was not."""
    areas = page.contents.areas
    share = (page.view.assessment.get("coverage") or {}).get("share_percent")
    unseen = sum(len(area.unseen) for area in areas)
    total = sum(area.total for area in areas)
    counts = {"seen": total - unseen, "total": total}
    if isinstance(share, int):
        said = text("report-coverage-share", share=measure((share, 1), "%"), **counts)
    else:
        said = text("report-coverage-plain", **counts)
    rows = [(page.text(area.title), area.total - len(area.unseen), area.total) for area in areas]
    head: list[Flowable] = [page.sentence("report-coverage", "h2"), page.plain(said)]
    if unseen:
        head.append(_unseen(page, unseen))
    # the words first: they belong on the first page, and the drawing may have no room there
    chart = [page.sentence("report-coverage-areas", "small"), charts.coverage(rows, page.width)]
    return [KeptTogether(head), Spacer(0, 3), KeptTogether(chart)]


def _unseen(page: PageContext, count: int) -> Flowable:
    """What was not inspected for the three most frequent reasons."""
    by_why: dict[str, list[str]] = {}
    for area in page.contents.areas:
        for title, why in area.unseen:
            by_why.setdefault(why, []).append(title)
    frequent = sorted(by_why.items(), key=lambda entry: (-len(entry[1]), entry[0]))[:3]
    room = 100 if page.view.money is None else 36  # the price stands on that page too
    parts = [_unseen_part(titles, why.rstrip("."), room) for why, titles in frequent]
    every = link("not-inspected", page.say("report-unseen-all", count=count))
    return page.sentence("report-unseen", "small", parts="; ".join(parts), link=every)


def _unseen_part(titles: Sequence[str], why: str, room: int) -> str:
    """As many of the titles as fit `room` letters, the first at least, and how many more."""
    count, length = 1, len(titles[0])
    while count < len(titles) and length + 2 + len(titles[count]) <= room:
        length += 2 + len(titles[count])
        count += 1
    rest, shown = len(titles) - count, ", ".join(titles[:count])
    if rest:
        return text("report-unseen-part-more", titles=shown, rest=rest, why=why)
    return text("report-unseen-part", titles=shown, why=why)
