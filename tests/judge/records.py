"""Small checklists and records for tests, in as few words as possible."""

from __future__ import annotations

from typing import Any

from bradawl.judge import assess

TODAY = "2026-11-25"


def cell(value: Any, at: str = "1") -> dict[str, Any]:
    return {"value": value, "at": at, "others": []}


def item(area: str = "area", **rule: Any) -> dict[str, Any]:
    return {"area": area, "stage": "outside", "minutes": "1", **rule}


def rules(items: dict[str, Any], **lists: Any) -> dict[str, Any]:
    for n, name in enumerate(items):
        items[name].setdefault("order", n)
    areas = sorted({rule["area"] for rule in items.values()})
    return {"items": items, "areas": [{"id": a, "title": a.capitalize()} for a in areas], **lists}


def record(grades: dict[str, Any], **told: Any) -> dict[str, Any]:
    """`grades` by item: a grade, (grade, why), or {"path": value}; `told` as about_dark=True."""
    cells = {}
    for name, given in grades.items():
        if isinstance(given, dict):
            for path, value in given.items():
                cells[f"items/{name}/{path}"] = cell(value)
        elif isinstance(given, tuple):
            cells[f"items/{name}/grade"] = cell({"grade": given[0]})
            cells[f"items/{name}/why"] = cell(given[1])
        else:
            cells[f"items/{name}/grade"] = cell({"grade": given})
    for key, value in told.items():
        group, _, name = key.partition("_")
        cells[f"{group}/{name}"] = cell(value)
    return {"visit": "v", "cells": cells}


def assessed(rule_set: dict[str, Any], grades: dict[str, Any], **told: Any) -> Any:
    return assess(record(grades, **told), rule_set, TODAY)
