"""What mends a cause, what that costs, and what is recorded when a cause is found.

A cause names the remedy that mends it, so the price and the plan charge that and nothing else for
its item: the rating, its reason and the pick are one commit.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..costs.estimates import price
from ..record import visit_facts
from ..values.grades import FAULTS
from ..values.saying import title
from . import evidence

if TYPE_CHECKING:
    from ..values.types import (
        CauseRepair,
        Cells,
        Fault,
        Json,
        Put,
        RatesOfVisit,
        RemedyRule,
        Rules,
        Symptom,
        VisitFacts,
    )

# what a cause that was found may be rated; the usual one first
GRADES: tuple[Fault, ...] = ("major", "dangerous", "minor")


def fitting(listed: list[str], rules: Rules, facts: VisitFacts) -> str:
    """The first of the remedies whose item this car has; "" where it has none of them."""
    known = [name for name in listed if name.split("/")[0] in rules["items"]]
    for name in known:
        rule = rules["items"][name.split("/")[0]]
        if visit_facts.applies(rule.get("applies") or {}, facts):
            return name
    for name in known:
        # of no matter for these uses or in this region, it may still be on the car
        if not visit_facts.contradicts(rules["items"][name.split("/")[0]], facts):
            return name
    return ""


def _remedy(name: str, rules: Rules) -> RemedyRule | None:
    item, _, own = name.partition("/")
    rule = rules["items"].get(item)
    for remedy in (rule.get("remedies") or []) if rule is not None else []:
        if remedy["id"] == own:
            return remedy
    return None


def grades_of(name: str, rules: Rules) -> list[Fault]:
    """The ratings for which a remedy is meant, the usual one first."""
    remedy = _remedy(name, rules)
    return [grade for grade in GRADES if remedy is not None and grade in remedy["for"]]


def priced(name: str, rules: Rules, rates: RatesOfVisit) -> CauseRepair | None:
    """A remedy with what it costs in the visit's region: low, likely, high."""
    remedy = _remedy(name, rules)
    if remedy is None:
        return None
    item, _, own = name.partition("/")
    counted = (remedy.get("loss", 0) * rates["percent"] + 50) // 100
    return {
        "id": name,
        "item": item,
        "title": title("remedy", item, own),
        "cost": price(remedy["parts"], remedy["hours"], rates["rate"], counted),
        "currency": rates["currency"],
    }


def puts_of(
    symptom: Symptom, cause_id: str, grade: str, cells: Cells, rules: Rules, facts: VisitFacts
) -> list[Put]:
    """What to record when a cause was found: it, the rating with its reason, the remedy that mends.

    A cause that no item of this car judges becomes a needed job. What stands there already is left
    out. [] for a cause that the table lacks, or a grade that is none.
    """
    cause = None
    for row in symptom["causes"]:
        if row["id"] == cause_id:
            cause = row
    if cause is None or grade not in FAULTS:
        return []
    path = evidence.path_of(symptom["id"], "causes", cause_id)
    puts: list[Put] = [{"put": path, "value": {"state": "found", "grade": grade}}]
    named: dict[str, Json] = {
        "cause": [symptom["id"], cause_id],
        "titles": [symptom["title"], cause["title"]],
    }
    repair = fitting(cause.get("repair") or [], rules, facts)
    if repair:
        tests = len(evidence.of_tests(symptom, cells, rules, facts))
        start = "items/" + repair.split("/")[0]
        why: dict[str, Json] = {"tests": tests}
        why.update(named)
        puts.append({"put": start + "/grade", "value": {"grade": grade}})
        puts.append({"put": start + "/why", "value": why})
        puts.append({"put": "plan/pick/" + repair.split("/")[0], "value": repair})
    elif not cause.get("then") and not cause.get("harmless"):
        job: dict[str, Json] = {
            "parts": [0, 0, 0],
            "hours": ["0", "0", "0"],
            "loss": 0,
            "need": True,
            "class": "danger" if grade == "dangerous" else "reliability",
            "uses": [],
        }
        job.update(named)
        puts.append({"put": "plan/wants/" + symptom["id"] + "-" + cause_id, "value": job})
    stands = [put for put in puts if _stands(put, cells)]
    return [] if len(stands) == len(puts) else puts


def _stands(put: Put, cells: Cells) -> bool:
    cell = cells.get(put["put"])
    return cell is not None and cell["value"] == put["value"]


def taken_back(symptom: Symptom, cause_id: str, cells: Cells) -> list[Put]:
    """What undoes `found`, as far as it is still this cause's."""
    path = evidence.path_of(symptom["id"], "causes", cause_id)
    puts: list[Put] = [{"put": path, "value": None}]
    for other in sorted(cells):
        parts = other.split("/")
        value = cells[other]["value"]
        if not isinstance(value, dict) or value.get("cause") != [symptom["id"], cause_id]:
            continue
        if parts[0] == "items" and parts[-1] == "why":
            puts.append({"put": "items/" + parts[1] + "/grade", "value": None})
            puts.append({"put": other, "value": None})
            puts.append({"put": "plan/pick/" + parts[1], "value": None})
        elif parts[0] == "plan":
            puts.append({"put": other, "value": None})
    return puts
