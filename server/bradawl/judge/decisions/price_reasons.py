"""The reasons to pay less in groups: what is unsafe, what holds the car together, wear, service.

Each job of the needed work stands in one group, however many findings it puts right, so the groups
add up to what the work is expected to cost. Which group is common practice, no source.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..values import grades

if TYPE_CHECKING:
    from ..values.types import ItemJudgment, Price, ReasonGroup, Rules, WorkLine

#: A job for several findings stands with the first of these; `other`: papers, work of no finding.
GROUPS: tuple[ReasonGroup, ...] = ("safety", "structure", "wear", "service", "other")
SERVICE = "maintenance"
GRAVE_DANGER = 4  # a major fault of so dangerous an item is as good as one the drive depends on
_STRUCTURE = ("rust", "accident")  # areas: what has to be welded or straightened
_UPKEEP = "upkeep"
_PAPERS = "papers"


def of_finding(item: str, judgment: ItemJudgment, rules: Rules, hurts: list[str]) -> ReasonGroup:
    """The group of one finding; `hurts` are the items whose findings may hurt somebody.

    Metal is structure however bad it is: what it takes is one kind of work.
    """
    rule = rules["items"][item]
    if rule["area"] in _STRUCTURE:
        return "structure"
    if rule["area"] == _UPKEEP:
        return "service"
    if rule["area"] == _PAPERS:
        return "other"
    worst = [judgment["grade"], judgment["measured"]]  # a word clears nothing that was measured
    grave = "major" in worst and int(rule.get("danger") or 0) >= GRAVE_DANGER
    return "safety" if grades.FAULTS[-1] in worst or item in hurts or grave else "wear"


def group(
    price: Price,
    lines: list[WorkLine],
    items: dict[str, ItemJudgment],
    rules: Rules,
    hurts: list[str],
) -> None:
    """Put each argument of the price, of its line of work, into a group, and sum these up."""
    sums: dict[ReasonGroup, int] = dict.fromkeys(GROUPS, 0)
    counts: dict[ReasonGroup, int] = dict.fromkeys(GROUPS, 0)
    for n, argument in enumerate(price["arguments"]):  # one of each line, in its order
        line = lines[n]
        found = [of_finding(item, items[item], rules, hurts) for item in line["covers"]]
        name: ReasonGroup = "service" if line["kind"] == SERVICE else "other"
        for place in reversed(GROUPS):
            name = place if place in found else name
        argument["id"] = line["id"]
        argument["covers"] = line["covers"]
        argument["group"] = name
        sums[name] += argument["amount"]
        counts[name] += 1
    price["groups"] = [
        {"group": name, "amount": sums[name], "count": counts[name]}
        for name in GROUPS
        if counts[name]
    ]
