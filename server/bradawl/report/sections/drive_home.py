"""The drive home: every reason, the worst first, none that the findings have said already in full.

Import only after `typeface.register()`.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from markupsafe import Markup
from reportlab.platypus import Flowable

from bradawl.inspection.standing import drive_now, grade_now
from bradawl.judge.values.grades import SEVERITY
from bradawl.language import text
from bradawl.report.layout.context import PageContext
from bradawl.report.layout.flowables import link

if TYPE_CHECKING:
    from bradawl.judge.values.types import DriveReason
    from bradawl.report.model.contents import Finding

__all__ = ["reasons"]


def reasons(page: PageContext) -> list[Flowable]:
    """The chapter; nothing where the judge named no reason. What a finding says is not said again:
    its number stands for it, and what nobody checked is marked where that is listed.
    """
    told = _reasons(page)
    if not told:
        return []
    findings = {finding.id: finding for finding in _findings(page)}
    lines: list[Flowable] = []
    numbers: list[Markup] = []
    for reason in told:
        finding = findings.get(reason.get("item", ""))
        if reason.get("seen") is False:
            continue  # listed with all that nobody checked
        if finding is not None and finding.number:
            numbers.append(link(finding.key, str(finding.number)))
        else:
            lines.append(page.paragraph("• " + page.markup(page.view.said(reason)), "row"))
    if numbers:
        listed = Markup(", ").join(numbers)
        lines.insert(0, page.sentence("report-drive-findings", "row", numbers=listed))
    if page.drive_unseen:
        where = link("coverage", page.say("report-coverage"))
        count = len(page.drive_unseen)
        said = page.say("report-drive-unseen", count=count, link=where)
        lines.append(page.paragraph("• " + said, "row"))
    return [*page.heading("drive-home-reasons", text("report-drive-reasons")), *lines]


def _findings(page: PageContext) -> list[Finding]:
    return [finding for area in page.contents.areas for finding in (*area.findings, *area.sound)]


def _reasons(page: PageContext) -> list[DriveReason]:
    """The reasons of the drive-home answer, the gravest items first."""

    def rank(reason: DriveReason) -> int:
        grade = grade_now(page.view.assessment, reason.get("item", ""))
        return -SEVERITY.index(grade) if grade else 1

    return sorted(drive_now(page.view.assessment).get("reasons", []), key=rank)
