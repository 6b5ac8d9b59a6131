"""The first page, and the way home with every reason.

Import only after `typeface.register()`.
"""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from typing import Any

from reportlab.platypus import Spacer

from bradawl.report.layout import charts
from bradawl.report.layout.context import Desk
from bradawl.report.layout.flowables import (
    Anchor,
    Framed,
    SummaryRow,
    fitted,
    grid,
    pair_rows,
    table,
    together,
)
from bradawl.report.layout.style import ACCENT, GRADE_COLOUR, MM
from bradawl.report.layout.typeface import SANS
from bradawl.report.model.contents import GRAVITY, Finding
from bradawl.report.model.work_done import done

_ANSWER = {
    "drive": ("It may be driven home", "none"),
    "limits": ("It may be driven home only within limits", "minor"),
    "trailer": ("Trailer: do not drive it home", "dangerous"),
    "not_cleared": ("Not cleared to drive home", "uninspected"),
}
_REASONS = 5


def first_page(desk: Desk, price: Sequence[Any] = ()) -> list[Any]:
    """Which car, who looked, may it be driven home, what is dangerous, how much was seen.

    `price` is what a partner's first page says of money.
    """
    ink, contents, issue = desk.ink, desk.contents, desk.issue
    kind = "Condition report" if desk.shared.edition == "condition" else "Partner report"
    out: list[Any] = [
        Anchor("summary", "Summary"),
        desk.p(ink.markup(desk.short("Car", contents.car)), "title"),
        desk.p(f"{kind} {ink.markup(issue.number)} of {ink.markup(issue.today)}", "subtitle"),
    ]
    if issue.replaces:
        out.append(desk.p(f"This report replaces {ink.markup(issue.replaces)}.", "strong"))
    if not desk.shared.seals:
        out.append(
            desk.p("This visit is not sealed: what was recorded may still change.", "strong")
        )
    elif desk.shared.amendments:
        count = len(desk.shared.amendments)
        said = "One entry was" if count == 1 else f"{count} entries were"
        out.append(
            desk.p(
                f"{said} changed or added after the seal; they are marked and listed under "
                f'<a href="#amendments" color="{ACCENT}">Amendments</a>.',
                "strong",
            )
        )
    jobs = len(done(desk.shared))
    if jobs:
        said = "One job was" if jobs == 1 else f"{jobs} jobs were"
        out.append(
            desk.p(
                f"{said} done since the inspection: see "
                f'<a href="#work-done" color="{ACCENT}">Work done since</a>.',
                "strong",
            )
        )
    out.append(_facts(desk))
    out += _drive_home(desk)
    out += price
    for grade in ("dangerous", "major"):
        found = contents.of_grade(grade)
        if found:
            out.append(desk.p(f"{grade.capitalize()}: {len(found)}", "h2"))
            out += _summary(desk, found)
        else:
            out.append(
                desk.p(f"{grade.capitalize()}: nothing was found in what was looked at.", "strong")
            )
    minor = len(contents.of_grade("minor"))
    out.append(Spacer(0, 3))
    out.append(desk.p(f"Minor: {minor}, in the areas below." if minor else "Minor: none found."))
    return out + _seen(desk)


def _summary(desk: Desk, found: Sequence[Finding]) -> list[Any]:
    """The findings as linked rows; in two columns when they are many, so that a page holds them."""
    if len(found) <= 6:
        return [_summary_row(desk, finding, 2) for finding in found]
    rows = [_summary_row(desk, finding, 1) for finding in found]
    half = (len(rows) + 1) // 2
    pairs = [[[one] for one in rows[at::half][:2]] for at in range(half)]
    return [pair_rows(pairs, width=desk.width)]


def _facts(desk: Desk) -> Any:
    half = desk.width / 2

    def column(rows: Sequence[tuple[str, str]]) -> Any:
        ready = [
            [
                f'<font color="#333B45">{desk.ink.markup(label)}</font>',
                desk.ink.markup(desk.short(label, text)),
            ]
            for label, text in rows
        ]
        return table([], ready, [30 * MM, half - 30 * MM - 6], ruled=False)

    return grid(
        [column(desk.contents.identity), column(desk.contents.visit_facts)],
        columns=2,
        width=desk.width,
    )


def _drive_home(desk: Desk) -> list[Any]:
    judged = desk.shared.assessment.get("drive_home") or {}
    answer = str(judged.get("answer") or "not_cleared")
    title, grade = _ANSWER.get(answer, _ANSWER["not_cleared"])
    inside: list[Any] = [desk.p(title, "answer")]
    text = str(judged.get("text") or "")
    if text and text.rstrip(".") != title:
        inside.append(desk.p(desk.ink.markup(text)))
    reasons = _reasons_home(desk)
    room = _REASONS if desk.shared.money is None else 2
    for reason in reasons[:room]:
        said = desk.ink.text(reason.get("text") or "")
        inside.append(
            desk.p("• " + escape(fitted(said, SANS, 9, desk.width - 14 * MM), quote=False))
        )
    if len(reasons) > room:
        inside.append(
            desk.p(
                f'{len(reasons) - room} more reasons stand under <a href="#drive-home-reasons" '
                f'color="{ACCENT}">The way home</a>.'
            )
        )
    caution = str(judged.get("caution") or "")
    if caution:
        inside.append(desk.p(desk.ink.markup(caution), "small"))
    return [
        Anchor("drive-home", "May it be driven home?"),
        Framed(inside, colour=GRADE_COLOUR[grade], dashed=answer == "not_cleared"),
        Spacer(0, 4),
    ]


def _reasons_home(desk: Desk) -> list[Any]:
    """The reasons of the drive-home answer, the gravest items first."""
    items = desk.shared.assessment.get("items") or {}

    def gravity(reason: Any) -> int:
        grade = (items.get(reason.get("item")) or {}).get("grade")
        return GRAVITY.index(grade) if grade in GRAVITY else len(GRAVITY)

    reasons = (desk.shared.assessment.get("drive_home") or {}).get("reasons") or []
    return sorted(reasons, key=gravity)


def way_home(desk: Desk) -> list[Any]:
    """Every reason of the drive-home answer, when the first page had no room for all."""
    reasons = _reasons_home(desk)
    if len(reasons) <= (_REASONS if desk.shared.money is None else 2):
        return []
    said, unseen = [], dict[str, list[str]]()
    for reason in reasons:
        text = str(reason.get("text") or "")
        if reason.get("seen") is False:
            title = desk.title_of(str(reason.get("item") or ""))
            unseen.setdefault(text.removeprefix(f"{title}: "), []).append(title)
        else:
            said.append(desk.p("• " + desk.ink.markup(text), "row"))
    half = (len(said) + 1) // 2
    pairs = [[[one] for one in said[at::half][:2]] for at in range(half)]
    return [
        *desk.heading("drive-home-reasons", "The way home: every reason"),
        desk.p("The gravest first.", "small"),
        *([pair_rows(pairs, width=desk.width)] if pairs else []),
        *(
            desk.p(
                f"• <b>{desk.ink.markup(why[:1].upper() + why[1:].rstrip('.'))}:</b> "
                f"{desk.ink.markup(', '.join(items))}.",
                "row",
            )
            for why, items in unseen.items()
        ),
    ]


def _summary_row(desk: Desk, finding: Finding, lines: int) -> Any:
    title = desk.ink.text(finding.title)
    reason = desk.ink.text(finding.first_reason).removeprefix("Answer: ").removeprefix(title)
    return SummaryRow(finding.key, finding.grade, title, reason.lstrip(":, "), lines=lines)


def _seen(desk: Desk) -> list[Any]:
    areas = desk.contents.areas
    share = (desk.shared.assessment.get("coverage") or {}).get("share_percent")
    unseen = sum(len(area.unseen) for area in areas)
    total = sum(area.total for area in areas)
    said = f"{total - unseen} of {total} items were inspected"
    if isinstance(share, int):
        said += f"; weighed by what matters for the intended use, {share} %"
    rows = [(desk.ink.text(a.title), a.total - len(a.unseen), a.total) for a in areas]
    out: list[Any] = [
        desk.p("How much of the car was seen", "h2"),
        desk.p(said + "."),
        Spacer(0, 3),
        charts.coverage(rows, desk.width),
    ]
    if unseen:
        by_why: dict[str, list[str]] = {}
        for area in areas:
            for name, why in area.unseen:
                by_why.setdefault(why, []).append(name)
        why_first = sorted(by_why.items(), key=lambda one: (-len(one[1]), one[0]))
        room = 100 if desk.shared.money is None else 36  # the price stands on that page too
        parts = [f"{_listed(names, room)} ({why.rstrip('.')})" for why, names in why_first[:3]]
        out.append(
            desk.p(
                f"Not inspected: {desk.ink.markup('; '.join(parts))}. "
                f'<a href="#not-inspected" color="{ACCENT}">All {unseen}, with their reasons</a>.',
                "small",
            )
        )
    return [together(out[:4]), *out[4:]]


def _listed(names: Sequence[str], room: int) -> str:
    """As many of the names as fit `room` letters, the first at least, and how many more."""
    count, length = 1, len(names[0])
    while count < len(names) and length + 2 + len(names[count]) <= room:
        length += 2 + len(names[count])
        count += 1
    rest = len(names) - count
    return ", ".join(names[:count]) + (f" and {rest} more" if rest else "")
