"""May it be driven home? Unknown is never fine: what nobody looked at clears nothing.

Decided here: a dangerous finding anywhere, or a major one in what the drive depends on when the
way is far, dark, wet or on motorways, or when it is a matter of papers, means a trailer. A major
one otherwise, or something that matters unseen, means stated limits. Something that the drive
depends on unseen: not cleared.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..record import visit_facts
from ..values import exact, units, words
from ..values.ascii_text import trimmed

if TYPE_CHECKING:
    from ..values.types.loose import Exact, Json, Rules

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
    distance = visit_facts.distance_km(facts["about"].get("distance_home"))
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
    """{"answer", "text", "reasons": [{"item", "text", "seen"}], "limits": [text], "caution"}.

    `order` is every item that applies, in walk order; `seen` is whether anybody looked. Reasons:
    what is dangerous first, then major faults in what the drive depends on, then what of it nobody
    looked at, then the rest.
    """
    told = circumstances(facts, rules)
    harder = [name for name in _CIRCUMSTANCES if told[name] == "yes"]
    found: dict[str, list[Json]] = {}
    for kind in ("dangerous", "law", "essential", "unseen", "major", "open"):
        found[kind] = []
    needed: dict[str, bool] = {}
    for item in order:
        judged, rule = items[item], rules["items"][item]
        grade, state = judged["grade"], judged["state"]
        excluded: dict[str, bool] = {}
        role = _role(rule, told, excluded)
        if grade == "dangerous":
            _tell(found["dangerous"], item, "dangerous", rule, judged)
        elif grade == "major" and role == "essential" and rule.get("area") == LAW:
            _tell(found["law"], item, "the law keeps it off the road", rule, judged)
        elif grade == "major" and role == "essential":
            _tell(found["essential"], item, "major fault", rule, judged)
            if not harder:
                for one in _CIRCUMSTANCES:
                    needed[one] = True
        elif grade == "major" and role == "matters":
            _tell(found["major"], item, "major fault", rule, judged)
        elif state != "done" and role == "essential":
            _tell(found["unseen"], item, "not looked at, and the drive depends on it", rule)
        elif state != "done" and role == "matters":
            _tell(found["open"], item, "not looked at", rule)
        if excluded and (state != "done" or grade in ("major", "dangerous")):
            for one in sorted(excluded):
                needed[one] = True
            if role == "no" and grade != "dangerous":
                _tell(
                    found["open"],
                    item,
                    "not in order" if state == "done" else "not looked at",
                    rule,
                )
    return _answer(found, items, harder, _limits(needed, rules, facts))


_WAYS = {"dark": "dark", "wet": "wet", "motorway": "on the motorway", "far": "far"}


def _tell(said: list[Json], item: str, what: str, rule: Json, judged: Json | None = None) -> None:
    """Add a short sentence of an item; of items that one combination raised the first says why."""
    name = rule.get("title") or item
    why = shared = ""
    if judged is not None and judged["reasons"]:
        first = judged["reasons"][0]
        why = first.get("short") or first["text"]
        shared = why if first["code"] == "combination" else ""
    row = {"item": item, "text": trimmed("%s: %s. %s" % (name, what, why)), "shared": shared}
    place = len(said)
    for n in range(len(said)):
        if shared and said[n]["shared"] == shared:
            place = n + 1
            row["text"] = "%s: %s, for the same reason." % (name, what)
    said.insert(place, row)


def _answer(
    found: dict[str, list[Json]], items: dict[str, Json], harder: list[str], limits: list[str]
) -> Json:
    by_way = bool(found["essential"]) and bool(harder)
    if found["dangerous"] or found["law"] or by_way:
        answer, text = "trailer", "Do not drive it: take it home on a trailer."
        if by_way:
            way = words.listed([_WAYS[one] for one in harder])
            text = text + " There are major faults, and the way is %s." % way
    elif found["unseen"]:
        answer = "not_cleared"
        text = "Not cleared to drive: %s that the drive depends on %s not looked at." % (
            words.counted(len(found["unseen"]), "item", "items"),
            "was" if len(found["unseen"]) == 1 else "were",
        )
    elif found["essential"] or found["major"] or found["open"]:
        answer, text = "limits", "Drive it only with limits"
        text = text + (": %s." % words.listed(limits) if limits else ": slowly, and stop to look.")
    else:
        answer, text = "drive", "Nothing that was looked at speaks against driving it home."
    reasons = []
    for kind in ("dangerous", "law", "essential", "unseen", "major", "open"):
        for row in found[kind]:
            reasons.append(
                {
                    "item": row["item"],
                    "text": row["text"],
                    "seen": items[row["item"]]["state"] == "done",
                }
            )
    return {
        "answer": answer,
        "text": text,
        "reasons": reasons,
        "limits": limits if answer == "limits" else [],
        "caution": CAUTION,
    }
