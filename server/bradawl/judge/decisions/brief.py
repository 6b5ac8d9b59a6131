"""The brief: the uses wanted set what weighs, and wishes that work against each other are named."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..values import exact
from ..values.saying import said, title

if TYPE_CHECKING:
    from ..values.types import Brief, OpposedUses, Rule, Rules, VisitFacts

DEFAULT_WEIGHT = 2


def weight(rule: Rule, uses: list[str]) -> int:
    """What an item weighs (0 to 5): the most that any wanted use gives it."""
    weights = rule.get("weight") or {}
    if not uses:
        return DEFAULT_WEIGHT
    heaviest = 0
    for use in uses:
        heaviest = max(heaviest, int(weights.get(use, DEFAULT_WEIGHT)))
    return heaviest


def brief(order: list[str], rules: Rules, facts: VisitFacts) -> Brief:
    """What the car is wanted for, what weighs, and which wishes work against each other.

    `order` is every item that applies.
    """
    uses = facts["uses"]
    counts: dict[str, list[int]] = {}
    for item in order:
        rule = rules["items"][item]
        counts.setdefault(rule["area"], []).append(weight(rule, uses))
    weights = {}
    for area in sorted(counts):
        total = 0
        for item_weight in counts[area]:
            total += item_weight
        weights[area] = exact.decimal((total, len(counts[area])), 1)
    wishes = uses + [want["id"] for want in facts.get("wants") or []]
    conflicts: list[OpposedUses] = []
    for conflict in rules.get("conflicts") or []:
        if not [use for use in conflict["uses"] if use not in wishes]:
            conflicts.append(
                {
                    "uses": conflict["uses"],
                    "said": said("conflict", {"reason": title("conflict", *conflict["uses"])}),
                    "source": conflict.get("source", ""),
                }
            )
    return {"uses": uses, "weights": weights, "conflicts": conflicts}
