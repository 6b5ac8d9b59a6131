"""What is known of the car and the visit before any item is looked at."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..values import ascii_text, dates, exact, typed, units
from . import bodies, claims, lookups, regions, wants

if TYPE_CHECKING:
    from ..values.types import Applies, Cells, Exact, Json, Rule, VisitFacts

HARDER = ("about/dark", "about/motorway", "about/wet")
UNKNOWN = "unknown"  # somebody was asked and doesn't know: as if nobody had said
USES = ("everyday", "long_trips", "track", "show", "family", "load", "resale", "project")


def visit_facts(cells: Cells, today: str) -> VisitFacts:
    """The facts that items ask about, from the cells of about/, car/ and brief/, claims and wants.

    Of two circumstances of the drive home written unseen the harder one counts until settled.

    `today` is YYYY-MM-DD. What was not recorded, or taken back, is not there, nor what of the car
    somebody says not to know.
    """
    recorded: dict[str, dict[str, Json]] = {"about": {}, "brief": {}, "car": {}}
    for path in sorted(cells):
        parts = path.split("/")
        if len(parts) == 2 and parts[0] in recorded:
            nothing = (None, UNKNOWN) if parts[0] == "car" else (None,)
            if cells[path]["value"] not in nothing:
                recorded[parts[0]][parts[1]] = cells[path]["value"]
            if path in HARDER:
                for other in cells[path]["others"]:
                    if other["value"] is True:
                        recorded[parts[0]][parts[1]] = True
    uses = recorded["brief"].get("uses")
    facts: VisitFacts = {
        "today": today,
        "day": dates.parse(today) or 0,
        "about": recorded["about"],
        "brief": recorded["brief"],
        "car": recorded["car"],
        "uses": [use for use in USES if use in uses] if isinstance(uses, list) else [],
        "region": regions.region_of(cells),
    }
    told = claims.claims(cells)
    if told:
        facts["claims"] = told
    looked = lookups.lookups(cells)
    if looked:
        facts["lookups"] = looked
    wanted = wants.wants(cells)
    if wanted:
        facts["wants"] = wanted
    return facts


def whole(value: Json) -> int | None:
    """A recorded integer, or None for anything else (True is no integer)."""
    if value is True or value is False or not isinstance(value, int):
        return None
    return value


def cylinders(facts: VisitFacts) -> int | None:
    """How many the engine is said to have."""
    recorded = facts["car"].get("cylinders")
    if isinstance(recorded, str):
        return int(recorded) if ascii_text.all_digits(recorded) else None
    return whole(recorded)


def distance_km(value: Json) -> Exact | None:
    """A recorded {"typed", "unit", "read"?} distance in kilometers."""
    if not isinstance(value, dict):
        return None
    entry, unit = value.get("read") or value.get("typed"), value.get("unit")
    if not isinstance(entry, str) or not isinstance(unit, str):
        return None
    if not units.measures(unit, "distance"):
        return None
    number = exact.parse(typed.number(entry, True))
    return None if number is None else units.to_base(number, unit)


def applies(when: Applies, facts: VisitFacts) -> bool:
    """Whether every stated condition holds; what nobody recorded counts as holding.

    But for the body style: a bed is not asked of a car that nobody called a pickup.
    """
    for key in sorted(when):
        wanted = when[key]
        if not wanted:
            continue
        if key == "region":
            if facts["region"] not in wanted:
                return False
        elif key == "uses":
            if facts["uses"] and not [use for use in facts["uses"] if use in wanted]:
                return False
        elif isinstance(wanted, dict):
            figure = whole(facts["car"].get(key))
            if figure is not None:
                lowest, highest = wanted.get("from"), wanted.get("to")
                if lowest is not None and figure < int(lowest):
                    return False
                if highest is not None and figure > int(highest):
                    return False
        elif key == "body_style":
            if facts["car"].get(key, bodies.UNKNOWN) not in wanted:
                return False
        elif key in facts["car"] and facts["car"][key] not in wanted:
            return False
    return True


def is_of_depth(rule: Rule, facts: VisitFacts) -> bool:
    """Whether a visit as quick or as thorough as this one asks the item without being told to."""
    return rule.get("depth") != "thorough" or facts["about"].get("depth") == "thorough"


def contradicts(rule: Rule, facts: VisitFacts) -> bool:
    """Whether the car is said not to have what the item looks at."""
    when = rule.get("applies") or {}
    of_the_car = {}
    for key in when:
        if key not in ("uses", "region"):
            of_the_car[key] = when[key]
    return not applies(of_the_car, facts)
