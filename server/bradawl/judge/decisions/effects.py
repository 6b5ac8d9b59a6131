"""What each finding does to whoever drives or buys the car.

The checklist says so, beside the source; where it says nothing of a finding, the usual: what is
dangerous hurts, what the drive depends on limits it. A word never clears what was measured: a
danger that a person graded milder still limits the drive.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..grading.limits import is_worse
from ..record import visit_facts
from ..values import exact, grades

if TYPE_CHECKING:
    from ..grading.combinations import Judged
    from ..values.types import (
        Circumstance,
        DriveLimit,
        Effect,
        EffectKind,
        Exact,
        Grade,
        ItemJudgment,
        Role,
        Rule,
        Rules,
        VisitFacts,
    )

CIRCUMSTANCES: tuple[Circumstance, ...] = ("dark", "wet", "motorway", "far")
_ROLES: tuple[Role, ...] = ("no", "matters", "essential")
_ON_THE_WAY: tuple[EffectKind, ...] = ("hurts", "immobilizes", "limits")

#: What a fault of unknown kind must leave out, where the drive depends on the item.
CAREFUL: list[DriveLimit] = ["dark", "wet", "motorway", "far", "fast"]
SLOW: list[DriveLimit] = ["fast"]


class Effects:
    """The effects of all findings, in walk order."""

    def __init__(self) -> None:
        self.rows: list[tuple[str, Effect]] = []

    def of(self, kind: EffectKind) -> list[tuple[str, Effect]]:
        """(item, effect) of one kind."""
        return [row for row in self.rows if row[1]["does"] == kind]

    def items(self, kind: EffectKind) -> list[str]:
        """The items that have an effect of the kind, each once."""
        items: list[str] = []
        for item, _ in self.of(kind):
            if item not in items:
                items.append(item)
        return items

    def factors(self) -> list[Exact]:
        """What is left of the value by each finding that lowers it, each between 0 and 1."""
        factors = [exact.figure(effect.get("factor", "1")) for _, effect in self.of("lowers_value")]
        return [factor for factor in factors if factor is not None]


def circumstances(facts: VisitFacts, rules: Rules) -> dict[Circumstance, str]:
    """yes, no or unknown for each of dark, wet, motorway, far."""
    answers: dict[Circumstance, str] = {}
    for name in CIRCUMSTANCES:
        value = facts["about"].get(name)
        answers[name] = "yes" if value is True else "no" if value is False else "unknown"
    distance = visit_facts.distance_km(facts["about"].get("distance_home"))
    if distance is None:
        answers["far"] = "unknown"
    else:
        far_km = distance_of((rules.get("drive") or {}).get("far_km", "100"))
        answers["far"] = "yes" if exact.less(far_km, distance) else "no"
    return answers


def distance_of(text: str) -> Exact:
    """A distance of the checklist in km; 100 where it cannot be read."""
    return exact.parse(str(text)) or (100, 1)


def role(rule: Rule, answers: dict[Circumstance, str]) -> tuple[Role, list[DriveLimit]]:
    """(the item's part in this drive, the unknown circumstances that would raise it)."""
    part: Role = rule.get("drive") or "no"
    unknown: list[DriveLimit] = []
    raised_in = rule.get("drive_if") or {}
    for name in CIRCUMSTANCES:
        raised = raised_in.get(name)
        if raised is None or _ROLES.index(raised) <= _ROLES.index(part):
            continue
        if answers[name] == "yes":
            part = raised
        elif answers[name] == "unknown":
            unknown.append(name)
    return part, unknown


def find(
    order: list[str], judged: Judged, rules: Rules, answers: dict[Circumstance, str]
) -> Effects:
    """The effects of every finding; `order` is every item that applies."""
    effects = Effects()
    for item in order:
        judgment = judged.items[item]
        if judgment["state"] == "open":
            continue
        rule = rules["items"][item]
        found = (judged.choices.get(item) or []) + _beyond_limits(judgment)
        for effect in _of_item(rule, judgment, found, answers):
            effects.rows.append((item, effect))
    return effects


def _beyond_limits(judgment: ItemJudgment) -> list[str]:
    """The readings and facts that were beyond a limit."""
    return [
        (reason.get("fact") or "").split(".")[0]
        for reason in judgment["reasons"]
        if reason["code"] == "limit"
    ]


def _of_item(
    rule: Rule, judgment: ItemJudgment, found: list[str], answers: dict[Circumstance, str]
) -> list[Effect]:
    """`found`: the answers that were picked, and what was beyond a limit."""
    grade = judgment["grade"]
    if is_overruled(judgment):
        return _overruled(_stated(rule, judgment["measured"], found), rule, judgment, answers)
    stated = _stated(rule, grade, found)
    if grade in grades.FAULTS and not _is_told(stated, rule, grade, found):
        stated = stated + _usual(rule, grade, answers)
    return stated


def _is_told(effects: list[Effect], rule: Rule, grade: Grade, found: list[str]) -> bool:
    """Whether the effects say what the grade does on the way.

    Those of an answer or a figure that is milder, and was raised together with something else, do
    not.
    """
    named: list[str] = [grade]
    for choice in rule.get("choices") or []:
        if choice["id"] in found and not is_worse(grade, choice.get("grade")):
            named.append(choice["id"])
    for limit in rule.get("limits") or []:
        if limit["of"] in found and not is_worse(grade, limit["grade"]):
            named.append(limit["of"])
    return _is_on_the_way(
        [effect for effect in effects if [name for name in effect["on"] if name in named]]
    )


def is_overruled(judgment: ItemJudgment) -> bool:
    """Whether a person graded a fault that matters milder than it was measured."""
    measured = judgment["measured"]
    is_grave = measured in ("major", "dangerous")
    return judgment["overruled"] and is_grave and is_worse(measured, judgment["grade"])


def _stated(rule: Rule, grade: Grade | None, found: list[str]) -> list[Effect]:
    """What the checklist says of the grade, the answers and what was beyond a limit."""
    named = found + ([grade] if grade is not None else [])
    return [
        effect
        for effect in rule.get("effects") or []
        if [name for name in effect["on"] if name in named]
    ]


def _is_on_the_way(effects: list[Effect]) -> bool:
    return bool([effect for effect in effects if effect["does"] in _ON_THE_WAY])


def _usual(rule: Rule, grade: Grade | None, answers: dict[Circumstance, str]) -> list[Effect]:
    """What a fault does of which the checklist says nothing."""
    if grade == "dangerous":
        return [{"on": [], "does": "hurts", "source": ""}]
    part, unknown = role(rule, answers)
    limits: list[DriveLimit] = []
    if grade == "major" and part == "essential":
        limits = CAREFUL
    elif grade == "major":
        limits = (SLOW if part == "matters" else []) + unknown
    return [{"on": [], "does": "limits", "limits": limits, "source": ""}] if limits else []


def _overruled(
    stated: list[Effect], rule: Rule, judgment: ItemJudgment, answers: dict[Circumstance, str]
) -> list[Effect]:
    """What is left of effects that a person's word made milder.

    The drive stays limited, the deal waits for proof, and what lowers the worth still does.
    """
    measured = judgment["measured"]
    if not _is_on_the_way(stated):
        stated = stated + _usual(rule, measured, answers)
    left: list[Effect] = []
    for effect in stated:
        if effect["does"] in ("limits", "stops_deal", "lowers_value"):
            left.append(effect)
        elif effect["does"] == "ends_deal":
            left.append({"on": [], "does": "stops_deal", "source": ""})
        elif effect["does"] in _ON_THE_WAY:
            left.append({"on": [], "does": "limits", "limits": CAREFUL, "source": ""})
    return left
