"""Whether a figure or a word is beyond a limit, and how that is said.

One limit is {"of", one of "below" "above" "outside" "is", "unit", "grade", "source", "applies"?}.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from ..measurements import context
from ..record import readings, visit_facts
from ..values import exact, units, words

if TYPE_CHECKING:
    from ..values.types.loose import Exact, Json, Measure


def rank(grade: str | None) -> int:
    """How bad a grade is, from 0; -1 without a grade, which is milder than any."""
    return -1 if grade is None else words.SEVERITY.index(grade)


def is_worse(grade: str | None, other: str | None) -> bool:
    """Whether `grade` is worse than `other`."""
    return rank(grade) > rank(other)


def said(limit: Json) -> str:
    """below 1/32 in; outside 13.8 to 14.7 V; no valid"""
    unit = limit.get("unit") or "1"
    if limit.get("below") is not None:
        return "below " + units.said(str(limit["below"]), unit)
    if limit.get("above") is not None:
        return "above " + units.said(str(limit["above"]), unit)
    if limit.get("outside") is not None:
        low, high = limit["outside"]
        return "outside %s to %s" % (low, units.said(str(high), unit))
    return words.plain(str(limit.get("is")))


def _base(text: Any, unit: Any) -> Exact | None:
    number = exact.figure(str(text))
    return None if number is None else units.to_base(number, unit)


def matches(limit: Json, found: Measure) -> bool:
    """Whether the measure is beyond the limit; a word is never beyond a figure."""
    if limit.get("is") is not None:
        return bool(found["word"] is not None and str(found["word"]) == str(limit["is"]))
    number, unit = found["number"], limit.get("unit")
    if number is None or not fits(limit, found):
        return False
    if limit.get("below") is not None:
        edge = _base(limit["below"], unit)
        return edge is not None and exact.less(number, edge)
    if limit.get("above") is not None:
        edge = _base(limit["above"], unit)
        return edge is not None and exact.less(edge, number)
    low, high = limit["outside"]
    low_edge, high_edge = _base(low, unit), _base(high, unit)
    if low_edge is None or high_edge is None:
        return False
    return exact.less(number, low_edge) or exact.less(high_edge, number)


def fits(limit: Json, found: Measure) -> bool:
    """Whether limit and figure measure the same thing."""
    unit = limit.get("unit")
    if found["number"] is None or limit.get("is") is not None:
        return True
    if unit is None or not units.known(unit):
        return False
    return units.quantity(unit) == units.quantity(found["unit"])


def _reason(limit: Json, matched: list[Measure]) -> Json:
    first = matched[0]
    how = said(limit)
    if limit.get("is") is not None:
        text = "%s: %s" % (first["title"], context.shown(first))
    else:
        text = "%s: %s is %s" % (first["title"], context.shown(first), how)
    short = text
    if first.get("more"):
        text = text + " (" + first["more"] + ")"
    also = []
    for found in matched[1:]:
        place = words.plain(found["place"]) if found["place"] else "the other value"
        unseen = " written unseen" if found.get("unseen") and found["place"] else ""
        also.append(place + " " + context.shown(found) + unseen)
    if also:
        text = text + "; also " + words.listed(also)
    reason = {
        "code": "limit",
        "text": text + ".",
        "source": limit["source"],
        "fact": readings.name(first),
        "limit": how,
    }
    if short != text:
        reason["short"] = short + "."
    return reason


def judge(
    limits: list[Json], measures: list[Measure], facts: Json
) -> tuple[str | None, list[Json], list[Json]]:
    """The worst grade that a limit finds (None when none matches), its reasons, the problems.

    Of each severity the first limit that matches anywhere speaks, about what no graver limit of
    the same name has spoken of; reasons come worst first.
    """
    worst: str | None = None
    reasons: list[Json] = []
    problems: list[Json] = []
    spoken: dict[str, bool] = {}
    by_name: dict[str, list[Measure]] = {}
    for found in measures:
        if found["of"] in by_name:
            by_name[found["of"]].append(found)
        else:
            by_name[found["of"]] = [found]
    for severity in reversed(words.FAULTS):
        for limit in limits:
            if limit["grade"] != severity or not visit_facts.applies(
                limit.get("applies") or {}, facts
            ):
                continue
            matched = []
            for found in by_name.get(limit["of"], []):
                if matches(limit, found):
                    if readings.key(found) not in spoken:
                        matched.append(found)
                elif not fits(limit, found):
                    text = "The limit “%s” does not measure the same as %s." % (
                        said(limit),
                        found["title"],
                    )
                    problems.append(readings.problem("limit_unit", text, ""))
            if matched:
                reasons.append(_reason(limit, _worst_first(limit, matched)))
                for found in matched:
                    spoken[readings.key(found)] = True
                worst = worst or severity
                break
    return worst, reasons, problems


def within(
    limits: list[Json], measures: list[Measure], facts: Json, names: list[str]
) -> list[Json]:
    """Why nothing is wrong: the strictest limit of each name and what came nearest it.

    `names` decide the item; where none of them has a limit, what was made of them speaks.
    """
    reasons: list[Json] = []
    known: list[str] = []
    for limit in limits:
        if limit["of"] not in known:
            known.append(limit["of"])
    chosen = [name for name in names if name in known]
    for name in chosen or known:
        found = [one for one in measures if one["of"] == name]
        for severity in words.FAULTS:
            strict = [
                limit
                for limit in limits
                if limit["of"] == name
                and limit["grade"] == severity
                and visit_facts.applies(limit.get("applies") or {}, facts)
            ]
            if found and strict:
                reasons.append(_passed(strict[0], _worst_first(strict[0], found)[0]))
                break
    if not reasons:
        text = "Every reading is within its limits."
        reasons.append({"code": "within", "text": text, "source": "practice"})
    return reasons


def _passed(limit: Json, found: Measure) -> Json:
    text = found["title"] + ": " + context.shown(found)
    if limit.get("is") is None and found["number"] is not None:
        text = text + " is not " + said(limit)
    if found.get("more"):
        text = text + " (" + found["more"] + ")"
    return {
        "code": "within",
        "text": text + ".",
        "source": limit["source"],
        "fact": readings.name(found),
        "limit": said(limit),
    }


def _worst_first(limit: Json, matched: list[Measure]) -> list[Measure]:
    """The farthest beyond the limit first, so that the sentence begins with it."""
    figures = [found for found in matched if found["number"] is not None]
    if limit.get("is") is not None or limit.get("outside") is not None or not figures:
        return matched
    first = figures[0]
    for found in figures[1:]:
        if limit.get("below") is not None:
            if exact.less(found["number"], first["number"]):
                first = found
        elif exact.less(first["number"], found["number"]):
            first = found
    return [first] + [found for found in matched if found is not first]
