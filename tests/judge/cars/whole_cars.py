"""The whole cars of cars.yaml as records, and what the judge says of each."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import yaml

from bradawl.judge import assess
from bradawl.judge.record import visit_facts
from tests.checkout import checklist_bundle
from tests.judge.records import TODAY, cell

ROOT = Path(__file__).parents[3]
CARS: list[dict[str, Any]] = yaml.safe_load(
    Path(__file__).with_name("cars.yaml").read_text(encoding="utf-8")
)["cars"]
GRADES = ("none", "minor", "major", "dangerous", "uninspected")
#: The judge's answers in the words of cars.yaml.
DRIVE = {"drive": "home", "limits": "easy", "not_cleared": "unknown", "trailer": "trailer"}


@cache
def real() -> Any:
    return checklist_bundle()


def record_of(car: dict[str, Any]) -> dict[str, Any]:
    """What a phone would have recorded at that car."""
    cells: dict[str, Any] = {
        "about/depth": cell("thorough"),
        "about/region": cell(car["facts"].get("region", "us")),
        "about/asking_price": cell(car["asked"]),
        "brief/value_good": cell(car["value"]),
    }
    for path, value in car["facts"].items():
        if "/" in path:
            cells[path] = cell(_fact(path, value))
    if "uses" in car["facts"]:
        cells["brief/uses"] = cell(car["facts"]["uses"])
    for item, seen in car["seen"].items():
        cells.update(_seen(f"items/{item}", seen, real()["rules"]["items"][item]))
    if car["rest"] == "fine":
        rules = real()["rules"]
        facts = visit_facts.visit_facts(cells, TODAY)
        for item, rule in rules["items"].items():
            if item not in car["seen"] and visit_facts.applies(rule.get("applies") or {}, facts):
                cells.update(_fine(f"items/{item}", rule))
    return {"visit": "v", "cells": cells}


def _fine(path: str, rule: Any) -> dict[str, Any]:
    """Looked at and in order; of maintenance, a receipt from this year."""
    if rule["area"] != "upkeep":
        return {f"{path}/grade": cell({"grade": "none"})}
    done_on = {"typed": "2026-06-01", "unit": ""}
    return {f"{path}/choice": cell("documented"), f"{path}/readings/done_on/one": cell(done_on)}


def _fact(path: str, value: str) -> Any:
    """Facts are written as a person would; the record has whole numbers, yes or no, distances."""
    if path in ("about/dark", "about/wet", "about/motorway"):
        return value == "yes"
    if path.endswith(("odometer", "distance_home")):
        typed, unit = value.split()
        return {"typed": typed, "unit": unit}
    return int(value) if path in ("car/year", "car/cylinders") else value


def _seen(path: str, seen: Any, rule: Any) -> dict[str, Any]:
    if isinstance(seen, str):
        # of receipts "none" is an answer: there are none
        offered = [choice["id"] for choice in rule.get("choices") or []]
        graded = seen in GRADES and seen not in offered
        seen = {"grade": seen} if graded else {"choice": seen}
    cells: dict[str, Any] = {}
    for reading, given in seen.get("readings", {}).items():
        for place, typed in given.get("at", {}).items():
            value = {"typed": typed, "unit": given.get("unit", "")}
            cells[f"{path}/readings/{reading}/{place}"] = cell(value)
        if "typed" in given:
            cells[f"{path}/readings/{reading}/one"] = cell(given)
    if "choice" in seen:
        cells[f"{path}/choice"] = cell(seen["choice"])
    if "grade" in seen:
        cells[f"{path}/grade"] = cell({"grade": seen["grade"]}, "2")
    if "why" in seen:
        cells[f"{path}/why"] = cell(seen["why"], "2")
    return cells


def assessed(car: dict[str, Any]) -> Any:
    return assess(record_of(car), real()["rules"], TODAY)  # type: ignore[arg-type]
