"""Maintenance evidence: what has no document was not done, whatever was claimed.

An interval compares the document's day and odometer with the visit's. A document that says
neither proves that it was done once, not when, and so it counts as due. An interval of the car's
own maker comes before ours, which is practice: each sentence says whose it is.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..grading.combinations import Judged
from ..values import exact, units
from ..values.saying import figure, listed, of_unit, said, title

if TYPE_CHECKING:
    from ..values.types import (
        Claim,
        Evidence,
        Exact,
        MaintenanceRow,
        MaintenanceRule,
        Measure,
        Rules,
        Said,
        SaidArgument,
        SaidNumber,
    )

EVIDENCE: tuple[Evidence, ...] = ("documented", "seen", "claimed", "unknown")
NOT_FITTED = "not-fitted"
ROUND_DISTANCE = 100  # an interval in another unit is shown in hundreds: 9,300 mi


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


class _Limit:
    """How often it is due: by the car's maker, in base units, or by practice, in its unit."""

    def __init__(self, number: Exact, is_makers: bool, unit: str) -> None:
        self.number = number
        self.whose = "-maker" if is_makers else ""
        self._own_unit = unit

    def base(self, unit: str) -> Exact:
        return self.number if self.whose else units.to_base(self.number, unit)

    def said(self, unit: str) -> SaidNumber:
        if self.whose:
            return figure(self.number, self._own_unit)
        every = of_unit(self.number, unit)
        if unit == "km":
            every["step"] = ROUND_DISTANCE
        return every


def _limit(practice: str | None, name: str, measures: list[Measure]) -> _Limit | None:
    for measure in measures:
        if measure["of"] == name and measure["number"] is not None and not measure.get("unseen"):
            return _Limit(measure["number"], True, measure["unit"])
    number = exact.parse(str(practice)) if practice is not None else None
    return None if number is None else _Limit(number, False, "")


def _documented(row: MaintenanceRule, measures: list[Measure]) -> tuple[bool, Said]:
    """(due, why) of something that a document proves."""
    years, driven = _figure(measures, "years_since"), _figure(measures, "km_since")
    compared: list[SaidArgument] = []
    for since, limit, unit in (
        (years, _limit(row.get("years"), "every_years", measures), "yr"),
        (driven, _limit(row.get("km"), "every_distance", measures), "km"),
    ):
        if since is None or limit is None:
            continue
        args: dict[str, SaidArgument] = {"since": figure(since, unit), "every": limit.said(unit)}
        if exact.less(limit.base(unit), since):
            return True, said("due-old" + limit.whose, args)
        compared.append({"said": said("not-due-since" + limit.whose, args)})
    if not compared:
        return True, said("due-undated")
    return False, said("not-due", {"compared": listed(compared)})


def baseline(
    order: list[str], judged: Judged, rules: Rules, claimed: dict[str, list[Claim]]
) -> list[MaintenanceRow]:
    """One row per maintenance item that applies; `claimed` is what was said of items."""
    rows: list[MaintenanceRow] = []
    for row in rules.get("baseline") or []:
        item = row["item"]
        if item not in order:
            continue
        measures = judged.measures.get(item, [])
        evidence = _evidence(judged.choices.get(item, []))
        if evidence == "unknown" and item in claimed and not judged.choices.get(item):
            evidence = "claimed"
        if evidence is None:
            continue  # a chain instead of a belt: there is nothing to maintain
        if evidence == "documented":
            due, why = _documented(row, measures)
        else:
            due, why = True, said("due-" + evidence)
        rows.append(
            {
                "id": row["id"],
                "title": title("baseline", row["id"]),
                "item": item,
                "evidence": evidence,
                "due": due,
                "said": why,
                "source": row.get("source", "assumption"),
                "parts": row.get("parts") or [0, 0, 0],
                "hours": row.get("hours") or ["0", "0", "0"],
                "also": row.get("also") or [],
                "done_by": row.get("done_by") or [],
                "does": row.get("does") or [],
            }
        )
    return rows
