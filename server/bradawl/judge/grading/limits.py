"""Limits: whether a figure or a word is beyond one, and what is to be said about it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..record import readings, visit_facts
from ..values import exact, grades, units
from ..values.saying import edge, headed, is_short, listed, measured, said

if TYPE_CHECKING:
    from ..values.types import (
        Condition,
        Exact,
        Fault,
        Grade,
        Limit,
        Measure,
        Problem,
        Reason,
        ReasonCode,
        Said,
        SaidArgument,
        VisitFacts,
    )


#: Facts that say by how much a temperature is off: 5 °C too many are 9 °F, not 41 °F.
DIFFERENCES = ("above_wet", "below_dry", "off_degrees")


def rank(grade: Grade | None) -> int:
    """How bad a grade is, from 0; -1 without a grade, which is milder than any."""
    return -1 if grade is None else grades.SEVERITY.index(grade)


def is_worse(grade: Grade | None, other: Grade | None) -> bool:
    """Whether `grade` is worse than `other`."""
    return rank(grade) > rank(other)


def _edges(limit: Limit, beside: Measure | None) -> tuple[str, dict[str, SaidArgument]]:
    """below, above, outside or is, and the figures of it."""
    unit = limit.get("unit") or "1"
    if limit["of"] in DIFFERENCES:
        unit = units.difference(unit)
    for name in ("below", "above"):
        text = limit.get(name)
        if text is not None:
            return name, {"limit": edge(str(text), unit, beside)}
    if limit.get("outside") is not None:
        low, high = limit["outside"]
        return "outside", {"low": edge(low, unit, beside), "high": edge(high, unit, beside)}
    return "is", {}


def _described(limit: Limit) -> Said:
    """Where a limit begins: under 2/32 in; outside 13.8 V to 14.7 V; a word."""
    name, args = _edges(limit, None)
    if name == "is":
        return {"id": readings.word_id(limit["of"], str(limit.get("is")))}
    return said("beyond-" + name, args)


def _edge(text: str, unit: str) -> Exact | None:
    number = exact.figure(str(text))
    return None if number is None else units.to_base(number, unit)


def matches(limit: Limit | Condition, measure: Measure) -> bool:
    """Whether the measure is beyond the limit; a word is never beyond a figure."""
    if limit.get("is") is not None:
        return measure["word"] is not None and measure["word"] == str(limit["is"])
    number, unit = measure["number"], limit.get("unit")
    if number is None or unit is None or not fits(limit, measure):
        return False
    if limit.get("below") is not None:
        edge = _edge(limit["below"], unit)
        return edge is not None and exact.less(number, edge)
    if limit.get("above") is not None:
        edge = _edge(limit["above"], unit)
        return edge is not None and exact.less(edge, number)
    low, high = limit["outside"]
    low_edge, high_edge = _edge(low, unit), _edge(high, unit)
    if low_edge is None or high_edge is None:
        return False
    return exact.less(number, low_edge) or exact.less(high_edge, number)


def fits(limit: Limit | Condition, measure: Measure) -> bool:
    """Whether limit and figure measure the same thing."""
    unit = limit.get("unit")
    if measure["number"] is None or limit.get("is") is not None:
        return True
    if unit is None or not units.is_known(unit):
        return False
    return units.comparable(unit, measure["unit"])


def _reason(limit: Limit, matched: list[Measure]) -> Reason:
    first = matched[0]
    also: list[SaidArgument] = []
    for measure in matched[1:]:
        name = "also-other" if measure.get("unseen") else "also"
        args: dict[str, SaidArgument] = {"value": measured(measure)}
        if measure["place"]:
            name, args["place"] = name + "-at", {"place": measure["place"]}
            if "called" in measure:
                args["place"] = measure["called"]
        also.append({"said": said(name, args)})
    reason = _sentence("limit", limit, first)
    if also:
        others = said("reason-also", {"others": listed(also)})
        reason["said"]["then"] = (reason["said"].get("then") or []) + [others]
    return reason


def _sentence(code: ReasonCode, limit: Limit, measure: Measure) -> Reason:
    name, args = _edges(limit, measure)
    if name == "is" or measure["number"] is None or is_short(measure):
        name, args = "is", {}
    args["name"] = headed(measure)
    if code == "limit" and measure["word"] == "yes":  # its name says it all
        name = "yes"
    else:
        args["value"] = measured(measure)
    sentence = said(code + "-" + name, args)
    if measure.get("more"):
        sentence["then"] = measure["more"]
    return {
        "code": code,
        "said": sentence,
        "source": limit["source"],
        "fact": readings.name(measure),
    }


def judge(
    limits: list[Limit], measures: list[Measure], facts: VisitFacts
) -> tuple[Fault | None, list[Reason], list[Problem]]:
    """The worst grade that a limit finds (None when none matches), its reasons, the problems.

    Of each severity the first limit that matches anywhere speaks, about what no graver limit of
    the same name has spoken of; reasons come worst first.
    """
    worst: Fault | None = None
    reasons: list[Reason] = []
    problems: list[Problem] = []
    spoken: dict[str, bool] = {}
    by_name: dict[str, list[Measure]] = {}
    for measure in measures:
        by_name.setdefault(measure["of"], []).append(measure)
    for severity in reversed(grades.FAULTS):
        for limit in limits:
            if limit["grade"] != severity or not _counts(limit, by_name, facts):
                continue
            matched = []
            for measure in by_name.get(limit["of"], []):
                if matches(limit, measure):
                    if readings.key(measure) not in spoken:
                        matched.append(measure)
                elif not fits(limit, measure):
                    problems.append(_unit_problem(limit, measure))
            if matched:
                reasons.append(_reason(limit, _worst_first(limit, matched)))
                for measure in matched:
                    spoken[readings.key(measure)] = True
                worst = worst or severity
                break
    return worst, reasons, problems


def _counts(limit: Limit, by_name: dict[str, list[Measure]], facts: VisitFacts) -> bool:
    """Whether a limit counts for this car, and gives way to no figure of its maker."""
    if limit.get("without") in by_name:
        return False
    return visit_facts.applies(limit.get("applies") or {}, facts)


def _unit_problem(limit: Limit, measure: Measure) -> Problem:
    args: dict[str, SaidArgument] = {"limit": {"said": _described(limit)}}
    args["name"] = headed(measure)
    return readings.problem("limit_unit", "limit-unit", args, "")


def within(
    limits: list[Limit], measures: list[Measure], facts: VisitFacts, names: list[str]
) -> list[Reason]:
    """Why nothing is wrong: the strictest limit of each name and what came nearest it.

    `names` decide the item; where none of them has a limit, what was made of them speaks.
    """
    reasons: list[Reason] = []
    by_name: dict[str, list[Measure]] = {}
    for measure in measures:
        by_name.setdefault(measure["of"], []).append(measure)
    limited: list[str] = []
    for limit in limits:
        if limit["of"] not in limited:
            limited.append(limit["of"])
    chosen = [name for name in names if name in limited]
    for name in chosen or limited:
        named = by_name.get(name, [])
        for severity in grades.FAULTS:
            strict = [
                limit
                for limit in limits
                if limit["of"] == name
                and limit["grade"] == severity
                and _counts(limit, by_name, facts)
            ]
            if named and strict:
                reasons.append(_sentence("within", strict[0], _worst_first(strict[0], named)[0]))
                break
    if not reasons:
        reasons.append({"code": "within", "said": said("within-all"), "source": ""})
    return reasons


def _worst_first(limit: Limit, matched: list[Measure]) -> list[Measure]:
    """The farthest beyond the limit first, so that the sentence begins with it."""
    if limit.get("is") is not None or limit.get("outside") is not None:
        return matched
    first: Measure | None = None
    farthest = exact.ZERO
    for measure in matched:
        number = measure["number"]
        if number is None:
            continue
        if limit.get("below") is not None:
            farther = exact.less(number, farthest)
        else:
            farther = exact.less(farthest, number)
        if first is None or farther:
            first, farthest = measure, number
    if first is None:
        return matched
    return [first] + [measure for measure in matched if measure is not first]
