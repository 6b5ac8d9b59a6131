"""The first page: which car, the answers, the six areas, what is wrong and where it is shown.

Import only after `typeface.register()`.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from markupsafe import Markup
from reportlab.platypus import Flowable, Spacer

from bradawl.inspection import cell_values
from bradawl.inspection.standing import answer_found, drive_now, found_line, grade_now, inspected_on
from bradawl.judge.values.grades import SEVERITY
from bradawl.language import date, measure, text
from bradawl.report.layout.context import PageContext
from bradawl.report.layout.flowables import (
    Anchor,
    Framed,
    KeptTogether,
    bold,
    fitting,
    in_columns,
    in_rows,
    link,
)
from bradawl.report.layout.graded import GradeMark, SummaryRow
from bradawl.report.layout.grids import Grid, Padding
from bradawl.report.layout.style import GRADE_COLOR, GREY
from bradawl.report.model.contents import FIRST_AREAS, Area, Finding, Unseen
from bradawl.report.model.texts import grade_word
from bradawl.report.model.work.done import finished_jobs
from bradawl.report.sections import repairs
from bradawl.report.sections.check_box import letterhead

__all__ = ["first_page", "not_checked"]

#: The grade in whose color each answer is framed.
_ANSWERS = {
    "drive": "none",
    "limits": "minor",
    "trailer": "dangerous",
    "not_cleared": "uninspected",
}
_COUNTED = ("dangerous", "major", "minor")


def first_page(page: PageContext) -> list[Flowable]:
    """Which car, who looked, may it be driven home, what is wrong in which area."""
    return [
        *letterhead(page),
        *_title(page),
        *(page.paragraph(notice, "strong") for notice in _notices(page)),
        _facts(page),
        *_answer(page),
        _scorecard(page),
        *_faults(page),
    ]


def _title(page: PageContext) -> list[Flowable]:
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
    return [*repairs.in_brief(page), *notices]


def _facts(page: PageContext) -> Flowable:
    """The car's identity and the visit's facts, three beside each other, read downwards."""
    lines: list[Flowable] = [
        page.paragraph(
            f'<font color="{GREY}">{page.markup(label)}</font>\u2002'  # markup: not shown
            f"{page.markup(page.short(label, said))}",
            "fact",
        )
        for label, said in (*page.contents.identity, *page.contents.visit_facts)
    ]
    deep = -(-len(lines) // 3)
    stacks = [lines[at : at + deep] for at in range(0, len(lines), deep)]
    return in_rows(stacks, columns=3, width=page.width)


def _answer(page: PageContext) -> list[Flowable]:
    """The four answers as one paragraph, its first words large; each clause leads to its proof."""
    judged = drive_now(page.view.assessment)
    answer = str(judged.get("answer") or "not_cleared")
    if answer not in _ANSWERS:
        answer = "not_cleared"
    title = text("drive-" + answer.replace("_", "-"))
    then = _then(page, answer)
    first, rest = _of_the_drive(page, title) if then else _spoken(page, title)
    inside: list[Flowable] = [page.paragraph(first, "answer")]
    if rest:
        inside.append(page.paragraph(rest, "lead"))
    inside += [page.paragraph(line, "small") for line in then]
    if judged:
        every = link("drive-home-reasons", page.say("report-drive-reasons"))
        caution = page.markup(text("judge-drive-caution"))
        more = f" {every}." if judged.get("reasons") else ""
        inside.append(page.paragraph(caution + more, "small"))
    return [
        Spacer(0, 5),
        Anchor("drive-home", text("report-drive-home")),
        Framed(inside, color=GRADE_COLOR[_ANSWERS[answer]], dashed=answer == "not_cleared"),
        Spacer(0, 4),
    ]


def _then(page: PageContext, answer: str) -> list[str]:
    """What was answered at the inspection and at the purchase, where it is not the answer of now.

    As markup; nothing where the headline says it.
    """
    clauses = _clauses(page)
    decision, bought = page.view.assessment.get("decision"), page.view.bought
    found = found_line(answer_found(page.view.assessment), inspected_on(page.view.cells))
    lines = [page.markup(found)] if found else []
    if decision and clauses and (found or decision["drive"] != answer):
        day = bought.day if bought else ""
        told = Markup(" ").join(Markup(clause) for clause in clauses)
        lines.append(
            page.say("report-bought-then", date=date(day, long=True), verdict=told)
            if day
            else page.say("report-before-work", verdict=told)
        )
    return lines


def _clauses(page: PageContext) -> list[str]:
    """The four answers as clauses that lead to their proofs; none in an edition without money."""
    decision = page.view.assessment.get("decision")
    keys = {finding.id: finding.key for area in page.contents.areas for finding in area.findings}
    clauses = []
    for clause in decision["spoken"] if decision else ():
        said, key = page.markup(page.view.said(clause)), keys.get(clause.get("item") or "")
        clauses.append(str(link(key, said)) if key else said)
    return clauses


def _spoken(page: PageContext, title: str) -> tuple[str, str]:
    """Headline and the rest of what is answered, as markup.

    An edition without money has the drive alone, since the other answers turn on the price.
    """
    clauses = _clauses(page)
    return (clauses[0], " ".join(clauses[1:])) if clauses else _of_the_drive(page, title)


def _of_the_drive(page: PageContext, title: str) -> tuple[str, str]:
    """Headline and the rest of the drive home as it stands, as markup."""
    judged = drive_now(page.view.assessment)
    said = page.view.said(judged) if judged else ""
    if said.startswith(title):
        behind = said.removeprefix(title)
        end = behind[:1] if behind[:1] in ".:;!" else ""
        return page.markup(title + end), page.markup(behind.removeprefix(end).strip())
    return page.markup(title), page.markup(said)


def _scorecard(page: PageContext) -> Flowable:
    """The owner's six areas, each with its worst grade, its counts and one line; then the rest."""
    areas = page.contents.areas
    first = [area for area in areas if area.order <= FIRST_AREAS]
    rest = [area for area in areas if area.order > FIRST_AREAS]
    words = [page.markup(grade_word(grade)) for grade in (*_COUNTED, "none", "uninspected")]
    head: list[list[Flowable]] = [
        [],
        [page.paragraph(page.say("report-column-area"), "cell-strong")],
        *([page.paragraph(word, "cell-strong-right")] for word in words),
        [page.paragraph(page.say("report-score-worst"), "cell-strong")],
    ]
    widths = [19.0, 100.0, 33.0, 33.0, 30.0, 34.0, 40.0]
    widths.append(page.width - sum(widths))
    line = widths[-1] - 12
    rows = [_score(page, area.title, [area], line, f"area-{area.id}") for area in first]
    if rest:
        rows.append(_score(page, text("report-score-others"), rest, line))
    padding = [Padding(1, 2, 1.8, 2)] * 7 + [Padding(12, 0, 1.8, 2)]
    return Grid([head, *rows], widths, padding, head=True, ruled=True, before=2, after=4)


def _score(
    page: PageContext, title: str, areas: Sequence[Area], width: float, key: str = ""
) -> list[list[Flowable]]:
    """One row: areas taken together."""
    fixed = repairs.mended(page)
    found = [finding for area in areas for finding in area.findings]
    faults = sorted(
        (finding for finding in found if finding.id not in fixed),
        key=lambda finding: -SEVERITY.index(_grade_now(page, finding)),
    )
    mended = len(found) - len(faults)
    not_seen = [one.item for area in areas for one in area.unseen]
    unseen = sum(item not in fixed for item in not_seen)
    sound = sum(finding.grade == "none" for area in areas for finding in area.sound)
    sound += mended + len(not_seen) - unseen
    counts = [sum(_grade_now(page, fault) == grade for fault in faults) for grade in _COUNTED]
    said = bold(page.markup(title))
    named = link(key, said) if key and any(not area.untouched for area in areas) else said
    if faults:
        worst = faults[0]
        grade, about = _grade_now(page, worst), page.markup(worst.title)
        # why it was worse before is not why it is what it is now
        reasons = short_reasons(page, worst) if grade == worst.grade else []
        lines = [f"{about}: {reason}" for reason in reasons]
        line = fitting([*lines, about], "cell", width, 2)
    elif mended:
        grade = "none"
        line = page.sentence("report-score-fixed", "cell", count=mended)
    else:
        grade = "none" if sound else "uninspected"
        line = page.sentence("report-score-" + ("clean" if sound else "unseen"), "cell")
    figures = [
        page.paragraph(str(count) if count else "–", "cell-right")
        for count in (*counts, sound, unseen)
    ]
    return [
        [GradeMark(grade)],
        [page.paragraph(str(named), "cell")],
        *([figure] for figure in figures),
        [line],
    ]


def _grade_now(page: PageContext, finding: Finding) -> str:
    return grade_now(page.view.assessment, finding.id) or finding.grade


def short_reasons(page: PageContext, finding: Finding) -> list[str]:
    """A finding's reason as markup, the whole first, then its first sentence."""
    whole = page.text(finding.first_reason).strip()
    whole = whole.removeprefix(page.text(finding.title)).lstrip(":, ")
    first, dot, _ = whole.partition(". ")
    shorter = [first + "."] if dot else []
    return [page.markup(said) for said in (whole, *shorter) if said]


def _faults(page: PageContext) -> list[Flowable]:
    """Dangerous and major findings as linked rows, the minor ones by number and title.

    They stand as they are now; what was fixed since comes last.
    """
    fixed = repairs.mended(page)
    found = [finding for area in page.contents.areas for finding in area.findings]
    left = [finding for finding in found if finding.id not in fixed]
    mended = [finding for finding in found if finding.id in fixed]
    out: list[Flowable] = []
    for grade in ("dangerous", "major"):
        findings = [finding for finding in left if _grade_now(page, finding) == grade]
        if findings:
            rows = _summary_rows(page, findings)
            heading = page.sentence(
                "report-faults", "h2", grade=grade_word(grade), count=len(findings)
            )
            out += [KeptTogether([heading, rows]) if len(findings) < 9 else heading]
            out += [] if len(findings) < 9 else [rows]
        else:
            out.append(page.sentence("report-faults-none", "strong", grade=grade_word(grade)))
    minor = [finding for finding in left if _grade_now(page, finding) == "minor"]
    minor.sort(key=lambda finding: finding.number)
    word = grade_word("minor")
    last: list[Flowable] = []
    if mended:
        heading = page.sentence("report-faults-fixed", "h2", count=len(mended))
        rows = [heading, _summary_rows(page, mended)]
        last = [KeptTogether(rows)] if len(mended) < 9 else rows
    if not minor:
        none = page.sentence("report-faults-none", "strong", grade=word)
        return [*out, Spacer(0, 4), none, *last]
    said = page.say("report-faults-line", grade=word, count=len(minor))
    listed = Markup("; ").join(
        link(finding.key, f"{finding.number}\u00a0{page.markup(finding.title)}")
        for finding in minor
    )
    return [
        *out,
        Spacer(0, 4),
        page.paragraph(str(bold(said) + Markup(" ") + listed), "row"),
        *last,
    ]


def _summary_rows(page: PageContext, findings: Sequence[Finding]) -> Flowable:
    """Two columns of rows, read downwards; of few findings each has two lines."""
    few = len(findings) <= 6
    mended = repairs.mended(page)
    rows = [
        SummaryRow(
            finding.key,
            finding.grade if finding.id in mended else _grade_now(page, finding),
            finding.number,
            page.markup(finding.title),
            short_reasons(page, finding),
            lines=2 if few else 1,
            is_mended=finding.id in mended,
        )
        for finding in sorted(findings, key=lambda finding: finding.number)
    ]
    return in_columns(rows, columns=2, width=page.width)


def not_checked(page: PageContext) -> list[Flowable]:
    """How much of the car was seen, and in one paragraph what was not, and why."""
    areas = page.contents.areas
    share = (page.view.assessment.get("coverage") or {}).get("share_percent")
    unseen = sum(len(area.unseen) for area in areas)
    total = sum(area.total for area in areas)
    counts = {"seen": total - unseen, "total": total}
    if isinstance(share, int):
        said = page.say("report-coverage-share", share=measure((share, 1), "%"), **counts)
    else:
        said = page.say("report-coverage-plain", **counts)
    out = [Markup(said)]
    if unseen:
        parts, page.named_unseen = _unseen_parts(page, areas)
        said = page.say("report-unseen", parts=Markup("; ").join(parts))
        others = unseen - len(page.named_unseen)
        every = page.say("report-unseen-others", count=others)
        out.append(Markup(" ").join([said, link("not-inspected", every)] if others else [said]))
    paragraph = page.paragraph(str(Markup(" ").join(out)), "row")
    heading = [Anchor("coverage"), page.sentence("report-coverage", "h2")]
    return [KeptTogether([*heading, paragraph])]


#: Of a reason that more items share, so many areas are named, those with most of them.
_NAMED_UNSEEN = 5


def _unseen_parts(page: PageContext, areas: Sequence[Area]) -> tuple[list[Markup], frozenset[str]]:
    """Each reason with the items, or where they are many with the areas; and the items it names."""
    by_why: dict[str, list[tuple[str, Unseen]]] = {}
    for area in areas:
        for one in area.unseen:
            by_why.setdefault(one.why, []).append((area.title, one))
    parts: list[Markup] = []
    named: set[str] = set()
    for why, rows in sorted(by_why.items(), key=lambda entry: (len(entry[1]), entry[0])):
        if len(rows) > _NAMED_UNSEEN:
            counted = _counted_areas([area for area, _ in rows])
            titles = [Markup(page.markup(one)) for one in counted]
        else:
            titles = [page.unseen_title(one.item, one.title) for _, one in rows]
            named |= {one.item for _, one in rows}
        said = Markup(", ").join(titles)
        parts.append(page.say("report-unseen-part", titles=said, why=why.rstrip(".")))
    return parts, frozenset(named)


def _counted_areas(areas: Sequence[str]) -> Iterator[str]:
    """Areas with how many items each has, and how many areas and items there are beside."""
    counts = Counter(areas).most_common()
    named = counts if len(counts) <= _NAMED_UNSEEN + 1 else counts[:_NAMED_UNSEEN]
    for area, count in named:
        yield text("report-untouched-area", title=area, count=count)
    rest = counts[len(named) :]
    if rest:
        yield text("report-unseen-rest", areas=len(rest), count=sum(count for _, count in rest))
