"""May it be driven home? Unknown is never fine: what nobody looked at clears nothing.

Decided here: a dangerous finding anywhere, or a major one in what the drive depends on when the
way is far, dark, wet or on motorways, or when it is a matter of papers, means a trailer. A major
one otherwise, or something that matters unseen, means stated limits. Something that the drive
depends on unseen: not cleared.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from . import exact, units, visit, words
from .letters import trimmed

if TYPE_CHECKING:
    from .shapes import Exact, Json, Rules

CAUTION = (
    "This replaces no inspection by a licensed tester. Local law decides whether the car may be on "
    "the road: registration, insurance, a valid test."
)
_CIRCUMSTANCES = ("dark", "wet", "motorway", "far")
LAW = "papers"  # whether the law lets it on the road is no matter of driving carefully
_ROLES = {"no": 0, "matters": 1, "essential": 2}
_LIMITS = {
    "dark": "in daylight only",
    "wet": "on a dry road only",
    "motorway": "off the motorway, at no more than 80 km/h",
    "far": "no farther than %s",
}


def circumstances(facts: Json, rules: Rules) -> dict[str, str]:
    """yes, no or unknown for each of dark, wet, motorway, far."""
    told = {}
    for name in ("dark", "wet", "motorway"):
        value = facts["about"].get(name)
        told[name] = "yes" if value is True else "no" if value is False else "unknown"
    distance = visit.distance_km(facts["about"].get("distance_home"))
    if distance is None:
        told["far"] = "unknown"
    else:
        told["far"] = "yes" if exact.less(_setting(rules, "far_km", "100"), distance) else "no"
    return told


def _setting(rules: Rules, name: str, default: str) -> Exact:
    number = exact.parse(str((rules.get("drive") or {}).get(name, default)))
    return number if number is not None else (100, 1)


def _role(rule: Json, told: dict[str, str], needed: dict[str, bool]) -> str:
    """The item's part in this drive; an unknown circumstance is noted as needed to be excluded."""
    role = rule.get("drive") or "no"
    when = rule.get("drive_if")
    if not when:
        return str(role)
    for name in _CIRCUMSTANCES:
        raised = when.get(name)
        if raised is None or _ROLES[raised] <= _ROLES[role]:
            continue
        if told[name] == "yes":
            role = raised
        elif told[name] == "unknown":
            needed[name] = True
    return str(role)


def _limits(needed: dict[str, bool], rules: Rules, facts: Json) -> list[str]:
    said = []
    for name in _CIRCUMSTANCES:
        if name in needed:
            text = _LIMITS[name]
            if name == "far":
                unit = "km"
                typed = facts["about"].get("distance_home")
                if isinstance(typed, dict) and typed.get("unit") == "mi":
                    unit = "mi"
                far = units.from_base(_setting(rules, "limits_km", "50"), unit)
                text = text % units.said(exact.decimal(far, 0), unit)
            said.append(text)
    return said


def drive_home(order: list[str], items: dict[str, Json], rules: Rules, facts: Json) -> Json:
    """{"answer", "text", "reasons": [{"item", "text"}], "limits": [text], "caution"}.

    `order` is every item that applies, in walk order; reasons come in the order of their weight.
    """
    told = circumstances(facts, rules)
    harder = [name for name in _CIRCUMSTANCES if told[name] == "yes"]
    trailer: list[Json] = []
    unseen: list[Json] = []
    limited: list[Json] = []
    needed: dict[str, bool] = {}
    for item in order:
        judged, rule = items[item], rules["items"][item]
        grade, state = judged["grade"], judged["state"]
        excluded: dict[str, bool] = {}
        role = _role(rule, told, excluded)
        name = rule.get("title") or item
        why = judged["reasons"][0]["text"] if judged["reasons"] else ""
        if grade == "dangerous":
            trailer.append(_reason(item, "%s: dangerous. %s" % (name, why)))
        elif grade == "major" and role == "essential" and rule.get("area") == LAW:
            trailer.append(_reason(item, "%s: no limit of the drive mends this. %s" % (name, why)))
        elif grade == "major" and role == "essential":
            if harder:
                way = words.listed([_WAYS[one] for one in harder])
                text = "%s: a major fault, and the way is %s. %s" % (name, way, why)
                trailer.append(_reason(item, text))
            else:
                limited.append(_reason(item, "%s: a major fault. %s" % (name, why)))
                for one in _CIRCUMSTANCES:
                    needed[one] = True
        elif grade == "major" and role == "matters":
            limited.append(_reason(item, "%s: a major fault. %s" % (name, why)))
        elif state != "done" and role == "essential":
            unseen.append(_reason(item, "%s: the drive depends on it and nobody looked." % name))
        elif state != "done" and role == "matters":
            limited.append(_reason(item, "%s: not looked at." % name))
        if excluded and (state != "done" or grade in ("major", "dangerous")):
            for one in sorted(excluded):
                needed[one] = True
            if role == "no":
                text = "%s: not in order." if state == "done" else "%s: not looked at."
                limited.append(_reason(item, text % name))
    return _answer(trailer, unseen, limited, _limits(needed, rules, facts))


_WAYS = {"dark": "dark", "wet": "wet", "motorway": "on the motorway", "far": "far"}


def _reason(item: str, text: str) -> Json:
    return {"item": item, "text": trimmed(text)}


def _answer(
    trailer: list[Json], unseen: list[Json], limited: list[Json], limits: list[str]
) -> Json:
    if trailer:
        answer, text = "trailer", "Do not drive it: take it home on a trailer."
    elif unseen:
        answer = "not_cleared"
        text = "Not cleared to drive: %s that the drive depends on %s not looked at." % (
            words.counted(len(unseen), "item", "items"),
            "was" if len(unseen) == 1 else "were",
        )
    elif limited:
        answer, text = "limits", "Drive it only with limits"
        text = text + (": %s." % words.listed(limits) if limits else ": slowly, and stop to look.")
    else:
        answer, text = "drive", "Nothing that was looked at speaks against driving it home."
    return {
        "answer": answer,
        "text": text,
        "reasons": trailer + unseen + limited,
        "limits": limits if answer == "limits" else [],
        "caution": CAUTION,
    }
