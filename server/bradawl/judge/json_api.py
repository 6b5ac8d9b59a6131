"""The JSON door: one text in, one text out, for a worker that cannot call Python functions.

Holds the rules that were loaded, by the bundle's hash: with the last work that `record/readings.py`
and `trouble/evidence.py` remember, the only state of the package.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from .assessment import assess, judge_item, walk
from .decisions.next_checks import what_next
from .record import own_findings, shop_models
from .record.folding import (
    CanonicalError,
    amendments,
    canonical,
    fold,
    leaf_texts,
    live_ids,
    obeyed,
    orders,
    photos_of,
    photos_text,
    unsigned_text,
)
from .record.regions import REGIONS, region_of, rules_in
from .record.visit_facts import visit_facts

if TYPE_CHECKING:
    from .values.types import Cells, Event, Record, Region, Rules

    # What a worker sent or is sent: any JSON. A key that is missing comes back as an error.
    Question = dict[str, Any]
    Reply = dict[str, Any]

_loaded: dict[str, Rules] = {}
_local: dict[str, Rules] = {}  # as they count in a region, by bundle and region


class RefusedError(Exception):
    """A question that nobody can answer: a code, and what of the question it is about."""

    def __init__(self, code: str, about: str) -> None:
        super().__init__(code, about)
        self.code = code
        self.about = about


def loaded(question: Question) -> Rules:
    """The rules of a question's bundle, of every region. Raises RefusedError."""
    name = question["bundle"]
    if name not in _loaded:
        raise RefusedError("not_loaded", name)
    return _loaded[name]


def rules_for(question: Question, region: Region) -> Rules:
    """The loaded rules of a question as they count in a region. Raises RefusedError."""
    key = region + " " + question["bundle"]
    if key not in _local:
        _local[key] = rules_in(loaded(question), region)
    return _local[key]


def _load(question: Question) -> Reply:
    name = question["bundle"]
    for region in REGIONS:
        _local.pop(region + " " + name, None)
    if question.get("start") or name not in _loaded:
        _loaded[name] = {"items": {}, "areas": []}
    rules = _loaded[name]
    piece = question["rules"]
    rules["items"].update(piece.get("items") or {})
    rest: Any = {key: piece[key] for key in piece if key != "items"}
    rules.update(rest)
    return {"items": len(rules["items"])}


def _events(question: Question) -> list[Event]:
    """The events of a question, the shop's orders obeyed where they come along."""
    events: list[Event] = question["events"]
    ordered = question.get("orders")
    return obeyed(events, ordered) if ordered else events


def _fold(question: Question) -> Reply:
    events = _events(question)
    return {"cells": fold(events), "live": live_ids(events)}


def _orders(question: Question) -> Reply:
    return {"orders": orders(question["events"], question["shop"])}


def _leaves(question: Question) -> Reply:
    return {"leaves": leaf_texts(question["events"])}


def _unsigned(question: Question) -> Reply:
    return {"text": unsigned_text(question["seal"])}


def _item(question: Question) -> Reply:
    rules = loaded(question)
    facts = visit_facts(question["car"], question["today"])
    shown = question.get("shown") or "all"
    return {"item": judge_item(question["item"], question["cells"], rules, facts, shown)}


def _assess(question: Question) -> Reply:
    record: Record = {"visit": question["visit"], "cells": question["cells"]}
    rules = rules_for(question, region_of(record["cells"]))
    return {"assessment": assess(record, rules, question["today"])}


def _next(question: Question) -> Reply:
    facts = visit_facts(question["car"], question["today"])
    rules = shop_models.raised(rules_for(question, facts["region"]), facts)
    states = question["states"]
    given: Cells = {
        "items/" + item + "/grade": {"value": {}, "at": "", "others": []}
        for item in states
        if own_findings.is_own(item)
    }
    rules = own_findings.with_own(rules, given)
    order = [item for item in walk(rules) if item in states]
    plan = what_next(
        order,
        states,
        rules,
        facts,
        question["minutes"],
        question["drive"],
        question.get("enough"),
        question.get("wants"),
    )
    own_findings.call_by_words(plan, rules)
    return {"next": plan}


def _models(question: Question) -> Reply:
    facts = visit_facts(question["car"], question["today"])
    return {"models": shop_models.fitting(fold(_events(question)), facts["car"])}


def _seal(question: Question) -> Reply:
    cells = question["cells"]
    return {"photos": photos_text(cells), "count": len(photos_of(cells))}


def _amendments(question: Question) -> Reply:
    return {"count": len(amendments(question["events"], question["through"]))}


def _canonical(question: Question) -> Reply:
    return {"text": canonical(question["value"])}


# what may be asked; trouble/door.py adds to it when it is loaded
ASKS = {
    "load": _load,
    "fold": _fold,
    "orders": _orders,
    "leaves": _leaves,
    "unsigned": _unsigned,
    "item": _item,
    "assess": _assess,
    "next": _next,
    "models": _models,
    "seal": _seal,
    "amendments": _amendments,
    "canonical": _canonical,
}


def ask(text: str) -> str:
    """Answer one question. Never raises: what went wrong comes back under "error".

    {"ask": "load", "bundle", "rules": piece, "start"?: true}   -> {"items": how many are loaded}
    {"ask": "fold", "events", "orders"?}                         -> {"cells", "live"}
    {"ask": "orders", "events", "shop"}                          -> {"orders"}
    {"ask": "leaves", "events"}                                  -> {"leaves": [kind, text to hash]}
    {"ask": "unsigned", "seal"}                                  -> {"text"}
    {"ask": "item", "bundle", "item", "cells", "car", "today", "shown"?} -> {"item"}
    {"ask": "assess", "bundle", "visit", "cells", "today"}       -> {"assessment"}
    {"ask": "next", "bundle", "states", "car", "today", "minutes", "drive", "enough"?, "wants"?}
                                                                 -> {"next"}
    {"ask": "models", "events", "car", "today"}                  -> {"models": [{"id", "value"}]}
    {"ask": "seal", "cells"}                                     -> {"photos", "count"}
    {"ask": "amendments", "events", "through"}                   -> {"count"}
    {"ask": "canonical", "value"}                                -> {"text"}
    `shown`: which facts the item has (`grading/items.py`); a card has what was typed anyway.
    What else may be asked once that room was loaded: `trouble/door.py`.
    """
    try:
        question = json.loads(text)
    except ValueError:
        return json.dumps({"error": {"code": "json", "about": ""}})
    try:
        if not isinstance(question, dict) or question.get("ask") not in ASKS:
            raise RefusedError("ask", "ask")
        answer = ASKS[question["ask"]](question)
    except RefusedError as refused:
        answer = {"error": {"code": refused.code, "about": refused.about}}
    except CanonicalError as refused:
        answer = {"error": {"code": refused.code, "about": "value"}}
    except KeyError as missing:
        name = str(missing.args[0]) if missing.args else "?"
        answer = {"error": {"code": "missing", "about": name}}
    return json.dumps(answer)
