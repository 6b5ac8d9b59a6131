"""Ask the judge about one item of the real checklists."""

from __future__ import annotations

from typing import Any

from bradawl.judge import assess, judge_item, visit_facts

TODAY = "2026-11-25"
STAMP = "001764052703000-00000-" + "a" * 32

Readings = dict[str, tuple[str, str]]


def cells(values: dict[str, Any]) -> dict[str, Any]:
    """Folded cells of plain values by path."""
    return {path: {"value": value, "at": STAMP, "others": []} for path, value in values.items()}


def judge(
    bundled: dict[str, Any],
    item: str,
    readings: Readings | None = None,
    choice: str | None = None,
    region: str | None = None,
    grade: str | None = None,
    **car: Any,
) -> dict[str, Any]:
    """The judgement of an item with readings {"pad/front-left": ("2.5", "mm")} and a choice."""
    values: dict[str, Any] = {f"car/{key}": value for key, value in car.items()}
    if region is not None:
        values["about/region"] = region
    facts = visit_facts(cells(values), TODAY)
    answers: dict[str, Any] = {}
    for name, (typed, unit) in (readings or {}).items():
        path = name if "/" in name else f"{name}/one"
        answers[f"items/{item}/readings/{path}"] = {"typed": typed, "unit": unit}
    if choice is not None:
        answers[f"items/{item}/choice"] = choice
    if grade is not None:
        answers[f"items/{item}/grade"] = {"grade": grade}
    judged = judge_item(item, cells(answers), bundled["rules"], facts)
    assert isinstance(judged, dict)
    return judged


def assessed(bundled: dict[str, Any], values: dict[str, Any]) -> dict[str, Any]:
    """The assessment of a visit with these values by path."""
    record = {"visit": "0" * 32, "cells": cells(values)}
    result = assess(record, bundled["rules"], TODAY)
    assert isinstance(result, dict)
    return result
