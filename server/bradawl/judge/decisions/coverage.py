"""What share of what matters was looked at."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..values.saying import of_unit, said
from . import brief

if TYPE_CHECKING:
    from ..values.types import (
        Coverage,
        ItemJudgment,
        ItemNote,
        Rule,
        Rules,
        SaidArgument,
        VisitFacts,
    )


LEFT = "left_"  # in front of a stage, below about/: why the rest of it was left
WHYS = ("time", "seller", "tools", "weather", "enough")


def importance(rule: Rule, uses: list[str]) -> int:
    """How much an item matters: its weight for the wanted uses and its danger."""
    return brief.weight(rule, uses) + int(rule.get("danger") or 0)


def coverage(
    order: list[str], items: dict[str, ItemJudgment], rules: Rules, facts: VisitFacts
) -> Coverage:
    """What share of what matters was looked at, by importance, rounded down."""
    done: dict[str, int] = {}
    total: dict[str, int] = {}
    count = 0
    missed: list[ItemNote] = []
    for item in order:
        rule, judged = rules["items"][item], items[item]
        weight = importance(rule, facts["uses"])
        area = rule["area"]
        total[area] = total.get(area, 0) + weight
        done.setdefault(area, 0)
        if judged["state"] == "done":
            done[area] += weight
            count += 1
        elif judged["state"] == "uninspected":
            missed.append({"item": item, "said": judged["reasons"][0]["said"]})
        else:
            left = facts["about"].get(LEFT + str(rule.get("stage")))
            why = "not-reached-" + str(left) if left in WHYS else "not-reached"
            missed.append({"item": item, "said": said(why)})
    by_area: dict[str, int | None] = {}
    seen = everything = 0
    for area in sorted(total):
        by_area[area] = 100 * done[area] // total[area] if total[area] else None
        seen += done[area]
        everything += total[area]
    share = 100 * seen // everything if everything else 0
    args: dict[str, SaidArgument] = {"done": count, "total": len(order)}
    args["share"] = of_unit((share, 1), "%")
    return {
        "share_percent": share,
        "by_area": by_area,
        "done": count,
        "total": len(order),
        "not_reached": missed,
        "said": said("coverage", args),
    }
