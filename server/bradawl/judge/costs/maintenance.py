"""Maintenance evidence: what has no document was not done, whatever was claimed.

An interval compares the document's day and odometer with the visit's. A document that says
neither proves that it was done once, not when, and so it counts as due.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..grading.combinations import Judged
from ..values import exact, units, words

if TYPE_CHECKING:
    from ..values.types import Evidence, Exact, MaintenanceRow, MaintenanceRule, Measure, Rules

EVIDENCE: tuple[Evidence, ...] = ("documented", "seen", "claimed", "unknown")
NOT_FITTED = "not-fitted"
_WHY_DUE: dict[Evidence, str] = {
    "seen": "somebody saw it, and no document says when it was done",
    "claimed": "it was claimed, and what has no document was not done",
    "unknown": "nothing is known of it",
}


def _evidence(choices: list[str]) -> Evidence | None:
    """The weakest of what was said, where two people disagree unseen; None: it is not fitted."""
    for evidence in reversed(EVIDENCE):
        if evidence in choices:
            return evidence
    return None if NOT_FITTED in choices else "unknown"


def _figure(measures: list[Measure], name: str) -> Exact | None:
    for measure in measures:
        if measure["of"] == name and measure["number"] is not None and not measure.get("unseen"):
            return measure["number"]
    return None


def _documented(row: MaintenanceRule, measures: list[Measure]) -> tuple[bool, str]:
    """(due, why) of something that a document proves."""
    years, driven = _figure(measures, "years_since"), _figure(measures, "km_since")
    limit_years = exact.parse(str(row["years"])) if row.get("years") is not None else None
    limit_km = exact.parse(str(row["km"])) if row.get("km") is not None else None
    compared = []
    for since, limit, unit in ((years, limit_years, "yr"), (driven, limit_km, "km")):
        if since is None or limit is None:
            continue
        figure = exact.decimal(units.from_base(since, unit), 1 if unit == "yr" else 0)
        text = "%s since, every %s" % (
            units.format_amount(figure, unit),
            units.format_amount(exact.decimal(limit, 1), unit),
        )
        if exact.less(units.to_base(limit, unit), since):
            return True, "the document is too old: " + text
        compared.append(text)
    if not compared:
        return True, "the document does not say when or at what distance it was done"
    return False, words.listed(compared)


def baseline(order: list[str], judged: Judged, rules: Rules) -> list[MaintenanceRow]:
    """One row per maintenance item that applies."""
    rows: list[MaintenanceRow] = []
    for row in rules.get("baseline") or []:
        item = row["item"]
        if item not in order:
            continue
        measures = judged.measures.get(item, [])
        evidence = _evidence(judged.choices.get(item, []))
        if evidence is None:
            continue  # a chain instead of a belt: there is nothing to maintain
        if evidence == "documented":
            due, why = _documented(row, measures)
        else:
            due, why = True, _WHY_DUE[evidence]
        text = "%s: %s, %s." % (row["title"], "due" if due else "documented", why)
        rows.append(
            {
                "id": row["id"],
                "title": row["title"],
                "item": item,
                "evidence": evidence,
                "due": due,
                "text": text,
                "source": row.get("source", "assumption"),
                "parts": row.get("parts") or [0, 0, 0],
                "hours": row.get("hours") or ["0", "0", "0"],
                "also": row.get("also") or [],
                "done_by": row.get("done_by") or [],
            }
        )
    return rows
