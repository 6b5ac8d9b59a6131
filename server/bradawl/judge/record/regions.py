"""What of a checklist counts where the car stands: whose law, whose prices.

A limit or an answer carries `law`, its source by the region whose law that is. Elsewhere it is no
law: it still grades, as common practice, and it gives way where the region has law of its own
about the same thing. What costs money carries `prices` by region: the region's are put in place.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from ..values.types import (
        Cells,
        Choice,
        Limit,
        Region,
        Rule,
        Rules,
        VisitFacts,
    )

#: The regions whose law and prices are known; a visit that names none is in the first.
REGIONS: tuple[Region, ...] = ("us", "eu")
#: The currency of each region's prices.
CURRENCIES: dict[Region, str] = {"us": "USD", "eu": "EUR"}
PRACTICE = "practice"
#: Which table of the rules takes which figures of a region's price list.
_FIGURES = (("money", ("hourly_rate", "margin")),)


def region_of(cells: Cells) -> Region:
    """The region of a visit: what `about/region` says, and the first where it names none."""
    cell = cells.get("about/region")
    for region in REGIONS:
        if cell is not None and cell["value"] == region:
            return region
    return REGIONS[0]


def currency(facts: VisitFacts) -> str:
    """What the visit's amounts are in: as recorded, else that of its region."""
    recorded = facts["about"].get("currency")
    # a record may hold anything
    return recorded if isinstance(recorded, str) and recorded else CURRENCIES[facts["region"]]


def limits_in(limits: list[Limit], region: Region) -> list[Limit]:
    """The limits that count in a region; of another region's law the source is practice.

    Such a limit is left out where the region's own law has a limit of the same name and grade for
    the same cars.
    """
    own = []
    for limit in limits:
        if region in (limit.get("law") or {}):
            own.append((limit["of"], limit["grade"], limit.get("applies")))
    counting: list[Limit] = []
    for limit in limits:
        name, grade = limit["of"], limit["grade"]
        is_foreign = limit.get("law") and region not in limit["law"]
        if is_foreign and (
            (name, grade, None) in own or (name, grade, limit.get("applies")) in own
        ):
            continue
        counting.append(_sourced_in(limit, region))
    return counting


def choices_in(choices: list[Choice], region: Region) -> list[Choice]:
    """The answers to pick; a grade that is only another region's law is common practice here."""
    return [_sourced_in(choice, region) for choice in choices]


def _sourced_in(row: Any, region: Region) -> Any:
    """A limit or an answer with the source that it has in a region."""
    law = row.get("law")
    if not law:
        return row
    local = dict(row)
    del local["law"]
    local["source"] = law.get(region, PRACTICE)
    return local


def _priced(rows: Any, region: Region) -> Any:
    """Rows with the region's price in place of `prices`; one that it does not price is left out.

    A row of an older bundle holds its one price itself.
    """
    local = []
    for row in rows:
        prices = row.get("prices")
        if prices is None:
            local.append(row)
        elif region in prices:
            joined = dict(row)
            del joined["prices"]
            for key in prices[region]:
                joined.setdefault(key, prices[region][key])  # a source of its own says more
            local.append(joined)
    return local


def rule_in(rule: Rule, region: Region) -> Rule:
    """One item's rule as it counts in a region."""
    local: Any = dict(rule)
    if rule.get("limits"):
        local["limits"] = limits_in(rule["limits"], region)
    if rule.get("choices"):
        local["choices"] = choices_in(rule["choices"], region)
    if rule.get("remedies"):
        local["remedies"] = _priced(rule["remedies"], region)
    if rule.get("unseen"):
        priced = _priced([rule["unseen"]], region)
        if priced:
            local["unseen"] = priced[0]
        else:
            del local["unseen"]
    checked: Rule = local
    return checked


def rules_in(rules: Rules, region: Region) -> Rules:
    """The rules as they count in a region; rules that are of it already come back as they are."""
    if rules.get("region") == region:
        return rules
    local: Any = dict(rules)
    local.pop("prices", None)
    local["region"] = region
    local["items"] = {item: rule_in(rules["items"][item], region) for item in rules["items"]}
    local["baseline"] = _priced(rules.get("baseline") or [], region)
    prices: Any = (rules.get("prices") or {}).get(region)
    if prices is not None:
        for table, names in _FIGURES:
            local[table] = dict(local.get(table) or {})
            for name in names:
                local[table][name] = prices[name]
    checked: Rules = local
    return checked
