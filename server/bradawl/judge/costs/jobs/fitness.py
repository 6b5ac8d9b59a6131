"""What a car may be used for while findings are still open."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ...decisions.price_reasons import GRAVE_DANGER

if TYPE_CHECKING:
    from ...values.types import Fitness, OpenFinding

HEAVY_WEIGHT = 3  # from this weight on, a major finding stands in the way of a use


def fit_for(findings: list[OpenFinding], uses: list[str]) -> Fitness:
    """What the car may be used for while `findings` are still open.

    Conservative: a dangerous finding keeps it off the road;
    so does an essential item that nobody inspected; a major fault in an essential or dangerous
    item leaves the way to a workshop only.
    """
    dangerous = [finding["item"] for finding in findings if finding["grade"] == "dangerous"]
    unseen = [
        finding["item"]
        for finding in findings
        if finding["grade"] == "uninspected" and finding["drive"] == "essential"
    ]
    grave = []
    for finding in findings:
        if finding["grade"] == "major":
            if finding["drive"] == "essential" or finding["danger"] >= GRAVE_DANGER:
                grave.append(finding["item"])
    if dangerous or unseen:
        return {"road": "off", "because": sorted(dangerous + unseen), "uses": [], "barred": {}}
    if grave:
        return {"road": "workshop", "because": sorted(grave), "uses": [], "barred": {}}
    barred: dict[str, list[str]] = {}
    free = []
    for use in uses:
        against = []
        for finding in findings:
            weight = finding["weight"][use] if use in finding["weight"] else 2
            if finding["grade"] == "major" and weight >= HEAVY_WEIGHT:
                against.append(finding["item"])
        if against:
            barred[use] = sorted(against)
        else:
            free.append(use)
    return {"road": "open", "because": [], "uses": free, "barred": barred}
