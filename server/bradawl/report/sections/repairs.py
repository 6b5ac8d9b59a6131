"""After a repair: what was found, what was fixed and what proves it, and what is not.

It stands in the copy for a buyer after the repair, and in every other once somebody worked on a
fault.

Import only after `typeface.register()`.
"""

from __future__ import annotations

from collections import Counter

from reportlab.platypus import Flowable

from bradawl.design import Mark, mark, mark_of_grade
from bradawl.inspection.standing import inspected_on, mended_items
from bradawl.language import date, listed, text
from bradawl.report.layout.context import PageContext
from bradawl.report.layout.flowables import bold
from bradawl.report.layout.graded import StateRow
from bradawl.report.model.texts import grade_word
from bradawl.report.model.work import told
from bradawl.report.model.work.outcomes import STATES, Outcome, outcomes

__all__ = ["in_brief", "left_alone", "mended", "repairs"]


def in_brief(page: PageContext) -> list[str]:
    """For the first page: how much of what was found is fixed, as markup."""
    if not _is_told(page):
        return []
    counts = Counter(outcome.state for outcome in outcomes(page.view, page.contents))
    states = {state: counts[state] for state in STATES}
    return [page.say("report-outcome-brief", found=counts.total(), **states, date=_seen_on(page))]


def mended(page: PageContext) -> frozenset[str]:
    """The ids of what is fixed and was checked again, with proof."""
    return mended_items(page.view.assessment)


def _is_told(page: PageContext) -> bool:
    if page.view.edition == "repaired" or mended(page):
        return True
    return any(outcome.jobs for outcome in outcomes(page.view, page.contents))


def repairs(page: PageContext) -> list[Flowable]:
    """Each fault with what became of it; nothing before anybody worked on one."""
    if not _is_told(page):
        return []
    out = page.heading("repairs", text("report-outcome"))
    out.append(page.sentence("report-outcome-meaning", "small", date=_seen_on(page)))
    by_state: dict[str, list[Outcome]] = {}
    for outcome in outcomes(page.view, page.contents):
        by_state.setdefault(outcome.state, []).append(outcome)
    for state in STATES:
        rows = by_state.get(state, [])
        if rows:
            out.append(page.plain(text("report-outcome-" + state, count=len(rows)), "h2"))
            out += [_line(page, outcome) for outcome in rows]
    return out


def left_alone(page: PageContext) -> list[Flowable]:
    """What was left alone on purpose, of which somebody said that a buyer is told; and why."""
    rows = told.left_alone(page.view)
    if not rows:
        return []
    out = page.heading("left-alone", text("report-left-alone"))
    for row in rows:
        out.append(
            page.sentence(
                "report-left-alone-back" if row.back else "report-left-alone-why",
                "row",
                title=bold(page.markup(row.title)),
                why=row.why,
                back=row.back,
            )
        )
    return out


def _seen_on(page: PageContext) -> str:
    return date(page.identity.today, long=True)


def _line(page: PageContext, outcome: Outcome) -> Flowable:
    finding = outcome.finding
    day = inspected_on(page.view.cells)
    told = page.say(
        "report-outcome-found-on" if day else "report-outcome-found",
        number=finding.number,
        title=bold(page.markup(finding.title)),
        grade=grade_word(finding.grade),
        reason=finding.first_reason,
        **({"date": date(day, long=True)} if day else {}),
    )
    done = "; ".join(_job(job.date, job.by, job.title) for job in outcome.jobs)
    proof = _proof(outcome) if outcome.jobs or outcome.is_mended else ""
    stands = {"fixed": "", "left": text("report-outcome-not-fixed")}.get(
        outcome.state, text("report-outcome-not-proven")
    )
    parts = [told, page.markup(done), page.markup(proof), bold(page.markup(stands))]
    return StateRow(_state(outcome), " ".join(str(part) for part in parts if part))


def _state(outcome: Outcome) -> Mark:
    """The mark of a fault as it is now: torn open once it is fixed and was checked again."""
    if outcome.state == "fixed":
        return mark("mended")
    return mark_of_grade(outcome.after if outcome.state == "better" else outcome.finding.grade)


def _job(day: str, by: str, title: str) -> str:
    if by:
        return text("report-outcome-job-by", title=title, date=date(day, long=True), name=by)
    return text("report-outcome-job", title=title, date=date(day, long=True))


def _proof(outcome: Outcome) -> str:
    proofs = []
    if outcome.after:
        proofs.append(text("report-outcome-rated", grade=grade_word(outcome.after)))
    proofs += [
        text("report-labeled", label=title, text=figure) for title, figure in outcome.readings
    ]
    if outcome.photos:
        proofs.append(text("report-outcome-photos", count=outcome.photos))
    if outcome.receipts:
        proofs.append(text("report-outcome-receipts", count=outcome.receipts))
    if outcome.is_hidden:
        proofs.append(text("report-outcome-hidden"))
    if not proofs:
        return text("report-outcome-no-proof")
    return text("report-outcome-proof", proofs=listed(proofs))
