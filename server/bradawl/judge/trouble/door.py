"""The phone's way in: importing this adds questions to the judge's door.

They are about a complaint, about what an ad seems to claim, about the drive home, about leaving the
car, and about what to load and how a car is hauled.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from .. import json_api
from ..record.regions import rules_in
from ..record.visit_facts import visit_facts
from . import driving, evidence, hauling, leaving, loading, repairs, spotting, view

if TYPE_CHECKING:
    from ..json_api import Question, Reply
    from ..values.types import Region, Rules, Symptom

_tables: dict[str, Symptom] = {}
#: Rules by bundle and table, with the region that they are of, and all those they were made of.
_rules: dict[str, tuple[Region, Rules, int, Rules]] = {}


def _load(question: Question) -> Reply:
    """{"ask": "complaint_load", "bundle", "symptom"} -> {"tests": how many}: keeps the table."""
    symptom: Symptom = question["symptom"]
    _tables[question["bundle"] + " " + symptom["id"]] = symptom
    return {"tests": len(symptom["tests"])}


def _symptom(question: Question) -> Symptom:
    name = question["bundle"] + " " + question["complaint"]
    if name not in _tables:
        raise json_api.RefusedError("not_loaded", question["complaint"])
    return _tables[name]


def _rules_for(question: Question, symptom: Symptom, region: Region) -> Rules:
    """The rules of the items that a table names, as they count in a region.

    A table names a dozen of 300, and the first look at one would wait for all of them.
    """
    name = question["bundle"] + " " + symptom["id"]
    everything = json_api.loaded(question)
    count = len(everything["items"])  # grows while a bundle is loaded, piece by piece
    kept = _rules.get(name)
    if kept is None or kept[0] != region or kept[1] is not everything or kept[2] != count:
        own = everything.copy()
        own["items"] = {}
        for item in evidence.items_named(symptom):
            if item in everything["items"]:
                own["items"][item] = everything["items"][item]
        kept = _rules[name] = (region, everything, count, rules_in(own, region))
    return kept[3]


def _complaint(question: Question) -> Reply:
    """{"ask": "complaint", "bundle", "complaint", "cells", "today"} -> {"complaint"}."""
    facts = visit_facts(question["cells"], question["today"])
    symptom = _symptom(question)
    rules = _rules_for(question, symptom, facts["region"])
    return {"complaint": view.complaint(symptom, question["cells"], rules, facts)}


def _found(question: Question) -> Reply:
    """{"ask": "complaint_found", …, "cause", "grade": a fault, or "" to take back} -> {"puts"}."""
    cells = question["cells"]
    symptom = _symptom(question)
    if not question["grade"]:
        return {"puts": repairs.taken_back(symptom, question["cause"], cells)}
    facts = visit_facts(cells, question["today"])
    rules = _rules_for(question, symptom, facts["region"])
    puts = repairs.puts_of(symptom, question["cause"], question["grade"], cells, rules, facts)
    return {"puts": puts}


def _spotted(question: Question) -> Reply:
    """{"ask": "spotted", "bundle", "text"} -> {"claims"}: what an ad seems to claim."""
    return {"claims": spotting.spotted(question["text"], json_api.loaded(question))}


def _drive_plan(question: Question) -> Reply:
    """{"ask": "drive_plan", "driving", "items", "now"} -> {"plan"}: what to watch, what to take."""
    return {"plan": driving.plan(question["driving"], question["items"], question["now"])}


def _load_list(question: Question) -> Reply:
    """{"ask": "load_list", "bundle", "cells", "states", "rows"} -> {"lines"}: what to load."""
    rules, rows = json_api.loaded(question), question["rows"]
    return {"lines": loading.load_list(question["cells"], question["states"], rules, rows)}


def _haul(question: Question) -> Reply:
    """{"ask": "haul", "cells", "figures"} -> {"plan"}: whether the haul plan holds."""
    return {"plan": hauling.haul_plan(question["cells"], question["figures"])}


def _leaving(question: Question) -> Reply:
    """{"ask": "leaving", "cells", "arguments", "top", "opening": of the price} -> {"leaving"}."""
    price = question["arguments"], question["top"], question["opening"]
    return {"leaving": leaving.leaving(question["cells"], price[0], price[1], price[2])}


def _same_car(question: Question) -> Reply:
    """{"ask": "same_car", "vin", "visits": [{"visit", "vin"}]} -> {"visits"} with that number."""
    return {"visits": leaving.same_car(question["vin"], question["visits"])}


def _again(question: Question) -> Reply:
    """{"ask": "again", "earlier", "now": cells, "graded_earlier", "graded_now"} -> {"again"}."""
    graded = question["graded_earlier"], question["graded_now"]
    return {"again": leaving.again(question["earlier"], question["now"], graded[0], graded[1])}


def _closing(question: Question) -> Reply:
    """{"ask": "closing", "closing": table, "cells", "today"} -> {"closing"}."""
    found = leaving.closing(question["closing"], question["cells"], question["today"])
    return {"closing": found}


json_api.ASKS["load_list"] = _load_list
json_api.ASKS["haul"] = _haul
json_api.ASKS["drive_plan"] = _drive_plan
json_api.ASKS["closing"] = _closing
json_api.ASKS["leaving"] = _leaving
json_api.ASKS["same_car"] = _same_car
json_api.ASKS["again"] = _again
json_api.ASKS["spotted"] = _spotted
json_api.ASKS["complaint_load"] = _load
json_api.ASKS["complaint"] = _complaint
json_api.ASKS["complaint_found"] = _found
