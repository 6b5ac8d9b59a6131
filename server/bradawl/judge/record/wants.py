"""What the car must have and what one leaves for, as the record has them.

wants/<id>/must is its place among the must-haves, wants/<id>/leave makes it a reason to leave. The
id is one of the checklist's wants, else of a line of one's own: its `words` with the `so` that
somebody tapped, a `check` with the grade from which on it counts, or a `figure` and its most.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from ..values import grades
from ..values.saying import count, grade, of_unit, said, title
from . import claims, regions
from .own_findings import short

if TYPE_CHECKING:
    from ..values.types import Cells, Json, Reason, Rules, SaidArgument, VisitFacts, Want

MOST_MUSTS = 5
#: What a figure may be of; beside money a distance, in miles unless it says otherwise.
FIGURES = ("asking", "work", "odometer")
DISTANCES = ("mi", "km")


def wants(cells: Cells) -> list[Want]:
    """The first five must-haves in their order, then every reason to leave by id."""
    found = claims.below(cells, "wants/")
    musts: list[tuple[int, str]] = []
    leaves: list[Want] = []
    for name in sorted(found):
        places = found[name].get("must") or []
        if places and count(places[0]) >= 0:
            musts.append((count(places[0]), name))
        elif [one for one in found[name].get("leave") or [] if one is True]:
            leaves.append(_want("leave", name, found[name]))
    return [_want("must", name, found[name]) for _, name in sorted(musts)[:MOST_MUSTS]] + leaves


def _want(side: str, name: str, own: dict[str, list[Json]]) -> Want:
    check, figure = [(own.get(key) or [None])[0] for key in ("check", "figure")]
    # of what two people said unseen of one another both are heard
    so = [one for one in own.get("so") or [] if one is True or one is False]
    want: Any = {"id": name, "side": side, "words": claims.first_text(own.get("words")), "so": so}
    item, at_least = claims.word(check, "item"), claims.word(check, "at_least")
    if isinstance(item, str) and at_least in grades.FAULTS:
        want["check"] = {"item": item, "at_least": at_least}
    of, most, unit = [claims.word(figure, key) for key in ("of", "above", "unit")]
    if of in FIGURES and count(most) >= 0:
        unit = unit if unit in DISTANCES else DISTANCES[0]
        want["figure"] = {"of": of, "above": most, "unit": unit}
    read: Want = want
    return read


def know(facts: VisitFacts, rules: Rules) -> None:
    """Of each want what it is called, and what tells of it."""
    for want in facts.get("wants") or []:
        own: Any = {"checks": [want["check"]] if "check" in want else []}
        rows = [row for row in rules.get("wants") or [] if row["id"] == want["id"]]
        rule = rows[0] if rows else own
        want["checks"], want["car"] = rule["checks"], rule.get("car") or {}
        want["asks"] = bool(rule.get("ask")) if rows else not (own["checks"] or "figure" in want)
        want["title"] = title("want", want["id"]) if rows else _called(want, facts)
        want["items"] = claims.items_in(want["checks"])


def _called(want: Want, facts: VisitFacts) -> SaidArgument:
    """One's own words, else one's check or figure."""
    if want["words"]:
        return short(want["words"])
    if "check" in want:
        item, at_least = title("item", want["check"]["item"]), want["check"]["at_least"]
        return {"said": said("want-check", {"item": item, "grade": grade(at_least)})}
    if "figure" in want:
        figure = want["figure"]
        most: Any = {"money": figure["above"], "currency": regions.currency(facts)}
        if figure["of"] == "odometer":
            most = of_unit((figure["above"], 1), figure["unit"])
        return {"said": said("want-" + figure["of"], {"most": most})}
    return title("want", want["id"])


def reasons(item: str, facts: VisitFacts) -> list[Reason]:
    """What hangs on an item, for whoever is about to look at it."""
    return [
        {
            "code": "want",
            "said": said("reason-want-" + want["side"], {"want": want["title"]}),
            "source": "",
        }
        for want in facts.get("wants") or []
        if item in want["items"]
    ]
