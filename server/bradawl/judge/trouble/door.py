"""The phone's way in: importing this adds what may be asked of a complaint to the judge's door."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .. import json_api
from ..record.visit_facts import visit_facts
from . import repairs, view

if TYPE_CHECKING:
    from ..json_api import Question, Reply
    from ..values.types import Symptom

_tables: dict[str, Symptom] = {}


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


def _complaint(question: Question) -> Reply:
    """{"ask": "complaint", "bundle", "complaint", "cells", "today"} -> {"complaint"}."""
    facts = visit_facts(question["cells"], question["today"])
    rules = json_api.rules_for(question, facts["region"])
    symptom = _symptom(question)
    return {"complaint": view.complaint(symptom, question["cells"], rules, facts)}


def _found(question: Question) -> Reply:
    """{"ask": "complaint_found", …, "cause", "grade": a fault, or "" to take back} -> {"puts"}."""
    cells = question["cells"]
    symptom = _symptom(question)
    if not question["grade"]:
        return {"puts": repairs.taken_back(symptom, question["cause"], cells)}
    facts = visit_facts(cells, question["today"])
    rules = json_api.rules_for(question, facts["region"])
    puts = repairs.found(symptom, question["cause"], question["grade"], cells, rules, facts)
    return {"puts": puts}


json_api.ASKS["complaint_load"] = _load
json_api.ASKS["complaint"] = _complaint
json_api.ASKS["complaint_found"] = _found
