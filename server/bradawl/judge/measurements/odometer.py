"""Every mileage that the record has, on paper and on the dial, in the order of its days.

An odometer only goes up. A later figure that is lower says that it was turned back, replaced or
misread, whatever anybody answered. One exception, as the odometer disclosure has it ("exceeds its
mechanical limits", 49 CFR 580.5, from memory): a dial of five digits begins again after 99,999.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..record import readings, visit_facts
from ..values import exact, units
from ..values.saying import figure, measured, said

if TYPE_CHECKING:
    from ..values.types import (
        Cells,
        Exact,
        Measure,
        Mileage,
        Rules,
        Said,
        SaidArgument,
    )
    from .context import Context

    Fall = tuple[Exact, str, Said]  # how far, in km; the unit it was read in; which two

AROUND = "around"  # the answer that the dial has gone around
FIVE_DIGITS = (100000, 1)


def mileages(rules: Rules, grouped: dict[str, Cells]) -> list[Mileage]:
    """The mileages that other items hold: receipts of maintenance, and what `also` names."""
    wanted: dict[str, list[list[str]]] = {}
    for item in sorted(rules["items"]):
        compute = rules["items"][item].get("compute") or {}
        if compute.get("kind") == "interval":
            wanted.setdefault(item, []).append(["done_at", "done_on"])
        also = compute.get("also") if compute.get("kind") == "odometer" else None
        for row in also if isinstance(also, list) else []:
            wanted.setdefault(row[0], []).append([row[1], row[2]])
    found: list[Mileage] = []
    for item in sorted(wanted):
        if item in grouped and item in rules["items"]:
            taken, _ = readings.read(item, rules["items"][item], grouped[item])
            found += _dated(taken, wanted[item])
    return found


def _dated(taken: list[Measure], pairs: list[list[str]]) -> list[Mileage]:
    """The distances among readings, each with the day that is read at the same place."""
    found: list[Mileage] = []
    for distance, date in pairs:
        days: dict[str, tuple[int, str]] = {}
        for measure in taken:
            # of several written unseen the first is the one that holds
            if measure["of"] == date and "day" in measure and measure["place"] not in days:
                days[measure["place"]] = (measure["day"], str(measure["word"]))
        for measure in taken:
            if measure["of"] == distance and measure["number"] is not None:
                mileage: Mileage = {"measure": measure}
                if measure["place"] in days:
                    mileage["day"], mileage["date"] = days[measure["place"]]
                found.append(mileage)
    return found


def odometer(context: Context) -> None:
    """Fact fallen: by how much a later mileage is lower than an earlier one, the largest such fall.

    `pairs` names this item's readings of distances, each with the reading of its date; other items'
    come with the visit (`mileages`), and car/odometer is the dial of today. A paper without a date
    is older than today, and that is all.
    """
    today = context.visit["day"]
    own = _dated(context.taken(), context.table("pairs"))
    for row in own:
        if row.get("day", today) > today:
            context.add_problem("future", "future", row["measure"])
    rows = [
        row for row in own + (context.visit.get("mileages") or []) if row.get("day", today) <= today
    ]
    falls = _on_paper(context, rows) + _to_the_dial(context, rows)
    if falls:
        worst = falls[0]
        for fall in falls:
            if exact.less(worst[0], fall[0]):
                worst = fall
        context.fact("fallen", worst[0], worst[1], "", worst[2])


def _on_paper(context: Context, rows: list[Mileage]) -> list[Fall]:
    falls: list[Fall] = []
    for later in rows:
        for earlier in rows:
            if "day" not in earlier or "day" not in later or earlier["day"] >= later["day"]:
                continue
            figures = (earlier["measure"]["number"], later["measure"]["number"])
            unit = later["measure"]["unit"]
            fall = _fall(context, figures[0], figures[1], unit)
            if fall is not None:
                args = {"earlier": _shown(earlier), "later": _shown(later)}
                falls.append((fall, unit, said("more-fallen-paper", args)))
    return falls


def _to_the_dial(context: Context, rows: list[Mileage]) -> list[Fall]:
    recorded = context.visit["car"].get("odometer")
    dial = visit_facts.distance_km(recorded)
    if dial is None or not isinstance(recorded, dict):
        return []
    unit = str(recorded["unit"])
    falls: list[Fall] = []
    for earlier in rows:
        fall = _fall(context, earlier["measure"]["number"], dial, unit)
        if fall is not None:
            args = {"earlier": _shown(earlier), "later": figure(dial, unit)}
            falls.append((fall, unit, said("more-fallen-dial", args)))
    return falls


def _fall(context: Context, earlier: Exact | None, later: Exact | None, unit: str) -> Exact | None:
    """By how much the later figure is lower; None where it is not, or the dial has gone around."""
    if earlier is None or later is None or not exact.less(later, earlier):
        return None
    five_digits = units.to_base(FIVE_DIGITS, unit)
    if context.choice == AROUND and exact.less(later, five_digits):
        return None
    return exact.subtract(earlier, later)


def _shown(row: Mileage) -> SaidArgument:
    """A mileage, with its day where it has one."""
    args: dict[str, SaidArgument] = {"value": measured(row["measure"])}
    if "day" not in row:
        return args["value"]
    args["date"] = {"date": row["date"]}
    return {"said": said("mileage-dated", args)}
