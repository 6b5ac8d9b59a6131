"""What an item still lacks before its readings may call it fine: half measured is not measured.

An item passes by its readings only when every name of `settled_by` is there, a reading at all the
places that count on this car: each wheel, both sides, as many cylinders as the engine has.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..measurements.bodywork import MATERIAL, panel_of
from ..record import bodies, readings, visit_facts
from ..values.ascii_text import all_digits
from ..values.saying import listed, title

if TYPE_CHECKING:
    from ..values.types import Measure, Problem, Reading, Rule, SaidArgument, VisitFacts

_ACROSS = ("-outer", "-middle", "-inner")  # places that are three of one tire


class _Gap:
    """Places of one reading, all that count and those that nobody has measured."""

    def __init__(self, places: list[str], missing: list[str], is_counted: bool) -> None:
        self.places = places
        self.missing = missing
        self.is_counted = is_counted  # False: cylinders, and nobody said how many


def is_settled(
    rule: Rule,
    measures: list[Measure],
    choices: list[str],
    unusable: list[Problem],
    visit: VisitFacts,
) -> bool:
    """Whether every name that decides the item is there, a reading at all its places.

    What a problem speaks of is not there: a date code that is none, a voltage of nobody knows what.
    """
    have = _have(measures, unusable)
    wanted = rule.get("settled_by") or []
    for name in wanted:
        if name not in have and not (name == "choice" and choices):
            return False
    for reading in rule.get("readings") or []:
        if reading["id"] in wanted:
            gap = _gap(reading, have, visit)
            if gap.missing or not gap.is_counted:
                return False
    return bool(wanted)


def problems(
    item: str, rule: Rule, measures: list[Measure], unusable: list[Problem], visit: VisitFacts
) -> list[Problem]:
    """What is missing where measuring was begun; nothing where it was not, or where all is there.

    `unusable`: of what was typed and could not be read somebody has been told already.
    """
    have = _have(measures, unusable)
    wanted = rule.get("settled_by") or []
    if not wanted or not [r for r in rule.get("readings") or [] if r["id"] in have]:
        return []
    found: list[Problem] = []
    unread: list[SaidArgument] = []
    for reading in rule.get("readings") or []:
        if reading["id"] not in wanted:
            continue
        start = "items/" + item + "/readings/" + reading["id"] + "/"
        if reading["id"] not in have:
            if [p for p in unusable if p["path"].startswith(start)]:
                continue
            unread.append(title("reading", item, reading["id"]))
            continue
        gap = _gap(reading, have, visit)
        told = [panel_of(problem["path"][len(start) :]) for problem in unusable]
        if [place for place in gap.missing if place not in told] or not gap.is_counted:
            found.append(_problem(item, reading, gap))
    if unread:
        path = "items/" + item + "/readings"
        args: dict[str, SaidArgument] = {"readings": listed(unread)}
        found.append(readings.problem("incomplete", "incomplete-readings", args, path))
    return found


def _have(measures: list[Measure], unusable: list[Problem]) -> dict[str, bool]:
    """Names and names with places that there are; a numbered spot stands for its whole panel."""
    have = {}
    told = [problem["path"] for problem in unusable]
    for measure in measures:
        if "path" in measure and measure["path"] in told:
            continue
        have[measure["of"]] = True
        if measure["place"]:
            have[measure["of"] + "." + panel_of(measure["place"])] = True
    return have


def _gap(reading: Reading, have: dict[str, bool], visit: VisitFacts) -> _Gap:
    optional = reading.get("optional") or []
    places: list[str] = []
    for place in reading.get("at") or []:
        place = panel_of(place)
        if place in places or place in optional or bodies.is_absent(place, visit):
            continue
        if reading["quantity"] != "film" or visit["car"].get(MATERIAL + place) != "plastic":
            places.append(place)
    is_counted = True
    if places and len([place for place in places if not all_digits(place)]) == 0:
        count = visit_facts.cylinders(visit)
        is_counted = count is not None
        last = max([int(place) for place in places]) if count is None else count
        places = [str(number) for number in range(1, last + 1)]
    missing = [place for place in places if reading["id"] + "." + place not in have]
    return _Gap(places, missing, is_counted)


def _problem(item: str, reading: Reading, gap: _Gap) -> Problem:
    taken = len(gap.places) - len(gap.missing)
    args: dict[str, SaidArgument] = {
        "name": title("reading", item, reading["id"]),
        "count": taken,
        "total": len(gap.places),
    }
    name = "incomplete"
    if all_digits(gap.places[0]):
        name = "incomplete-cylinders" if gap.is_counted else "cylinders-unknown"
    if gap.is_counted:
        named = _together(gap)
        args["missing"] = len(named)
        # a cylinder is called by its number alone: the sentence says that it is one
        args["places"] = listed(
            [place if all_digits(place) else {"place": place} for place in named]
        )
    path = "items/" + item + "/readings/" + reading["id"]
    return readings.problem("incomplete", name, args, path)


def _together(gap: _Gap) -> list[str]:
    """The missing places; a tire of which nothing was measured is called once."""
    named: list[str] = []
    for place in gap.missing:
        for end in _ACROSS:
            stem = place[: len(place) - len(end)]
            if place.endswith(end) and all([stem + other in gap.missing for other in _ACROSS]):
                place = stem
                break
        if place not in named:
            named.append(place)
    return named
