"""The whole judgement of one record."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from .shapes import Cells, Json, Record, Rules


def judge_item(item: str, cells: Cells, rules: Rules, car: Cells, today: str) -> Json:
    return {}


def assess(record: Record, rules: Rules, today: str) -> Json:
    return {"items": {}}
