"""Maintenance evidence: what has no document was not done, whatever was claimed.

An interval compares the document's day and odometer with the visit's. A document that says
neither proves that it was done once, not when, and so it counts as due.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..grading.combinations import Judged
from ..values import exact, units, words

if TYPE_CHECKING:
    from ..values.types.loose import Exact, Json, Measure, Rules

EVIDENCE = ("documented", "seen", "claimed", "unknown")
NOT_FITTED = "not-fitted"
_SAID = {
    "seen": "somebody saw it, and no document says when it was done",
    "claimed": "it was claimed, and what has no document was not done",
    "unknown": "nothing is known of it",
}


def _evidence(choices: list[str]) -> str:
    """The weakest of what was said, where two people disagree unseen."""
    for known in reversed(EVIDENCE):
        if known in choices:
            return known
    return NOT_FITTED if NOT_FITTED in choices else "unknown"


def _figure(measures: list[Measure], name: str) -> Exact | None:
    for found in measures:
        if found["of"] == name and found["number"] is not None and not found.get("unseen"):
            number: Exact = found["number"]
            return number
    return None


def _documented(row: Json, measures: list[Measure]) -> tuple[bool, str]:
    """(due, why) of something that a document proves."""
    years, driven = _figure(measures, "years_since"), _figure(measures, "km_since")
    limit_years = exact.parse(str(row["years"])) if row.get("years") is not None else None
    limit_km = exact.parse(str(row["km"])) if row.get("km") is not None else None
    judged = []
    for since, limit, unit in ((years, limit_years, "yr"), (driven, limit_km, "km")):
        if since is None or limit is None:
            continue
        figure = exact.decimal(units.from_base(since, unit), 1 if unit == "yr" else 0)
        text = "%s since, every %s" % (
            units.said(figure, unit),
            units.said(exact.decimal(limit, 1), unit),
        )
        if exact.less(units.to_base(limit, unit), since):
            return True, "the document is too old: " + text
        judged.append(text)
    if not judged:
        return True, "the document does not say when or at what distance it was done"
    return False, words.listed(judged)


def baseline(order: list[str], judged: Judged, rules: Rules) -> list[Json]:
    """One row per maintenance item that applies.

    {"id", "title", "item", "evidence", "due", "text", "source", "parts", "hours", "also":
    [items that it puts right too], "done_by": [remedies that do it as well]}.
    """
    rows = []
    for row in rules.get("baseline") or []:
        item = row["item"]
        if item not in order:
            continue
        measures = judged.measures.get(item, [])
        evidence = _evidence(judged.choices.get(item, []))
        if evidence == NOT_FITTED:
            continue  # a chain instead of a belt: there is nothing to maintain
        if evidence == "documented":
            due, why = _documented(row, measures)
        else:
            due, why = True, _SAID[evidence]
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
