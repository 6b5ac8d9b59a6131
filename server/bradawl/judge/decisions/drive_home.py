"""May it be driven home? Unknown is never fine: what nobody looked at clears nothing.

What hurts somebody, what does not move or is ruined by moving, and what the law keeps off the road
go on a trailer. A fault with limits is driven within them, and on a trailer where the way home
cannot keep to them. Something that the drive depends on unseen: not cleared.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..record.own_findings import is_own
from ..values.saying import alone, figure, grade, listed, said, term, title
from . import effects as consequences

if TYPE_CHECKING:
    from ..grading.combinations import Judged
    from ..values.types import (
        Circumstance,
        DriveAnswer,
        DriveHome,
        DriveLimit,
        DriveReason,
        Effect,
        ItemJudgment,
        Rules,
        Said,
        SaidArgument,
        VisitFacts,
    )

LAW = "papers"  # whether the law lets it on the road is no matter of driving carefully
TOP_SPEED_KM_H = (80, 1)  # off the highway; common practice, no source
ROUND = 5  # in another unit, a limit is shown as a multiple of it: 50 mph, 30 mi

#: Limits that no patience helps with: one can wait for daylight, not for a shorter way.
_FIXED = ("far",)
#: Limits in the order in which they are said; those of use alone keep nobody from driving.
_LIMITS: tuple[DriveLimit, ...] = ("dark", "wet", "motorway", "fast", "far")
_USES: tuple[DriveLimit, ...] = ("rear_seat", "towing", "load")

# The headings of reasons in the order in which they are read out, with the message of each row,
# and what the first that was met comes to; "drive" when none was.
_HEADINGS: tuple[tuple[str, str, DriveAnswer], ...] = (
    ("dangerous", "drive-unsafe", "trailer"),
    ("immobile", "drive-immobile", "trailer"),
    ("law", "drive-law", "trailer"),
    ("hard", "drive-major", "trailer"),
    ("unseen", "drive-unseen", "not_cleared"),
    ("limited", "drive-major", "limits"),
    ("overruled", "drive-overruled", "limits"),
    ("open", "drive-open", "limits"),
    ("use", "drive-use", "drive"),
)

#: Messages of what nobody looked at: they give no reason of a grade.
_UNSEEN = ("drive-unseen", "drive-open")
#: Items that the answer names.
MOST_NAMED = 3


class _Row:
    """A reason before it is read out; `shared` is the combination that it has it from."""

    def __init__(self, item: str, sentence: Said, shared: Said | None) -> None:
        self.item = item
        self.sentence = sentence
        self.shared = shared


def _is_broken(item: str, limits: list[DriveLimit], ways: list[Circumstance], own: bool) -> bool:
    """Whether the way home cannot keep to the limits; `own`: a person's word stands behind them.

    What must leave out everything has no margin: any hard way is too much for it.
    """
    if own:
        return False
    if set(consequences.CAREFUL) <= set(limits):
        return bool(ways)
    return bool([way for way in ways if way in limits and way in _FIXED])


class _Findings:
    """The reasons by heading, and the limits that the drive must keep to."""

    def __init__(self, ways: list[Circumstance]) -> None:
        self.ways = ways
        self.rows: dict[str, list[_Row]] = {}
        for heading, _, _ in _HEADINGS:
            self.rows[heading] = []
        self.limits: dict[DriveLimit, bool] = {}

    def limit(self, limits: list[DriveLimit]) -> None:
        for name in limits:
            self.limits[name] = True

    def add(self, heading: str, item: str, judgment: ItemJudgment | None) -> None:
        """One row an item and heading."""
        if [row for row in self.rows[heading] if row.item == item]:
            return
        for name, message, _ in _HEADINGS:
            if name == heading:
                _add_row(self.rows[heading], item, message, judgment)

    def hear(self, item: str, area: str, judgment: ItemJudgment, effect: Effect) -> None:
        """Take in what a finding does to the drive."""
        kind, limits = effect["does"], effect.get("limits") or []
        own = consequences.is_overruled(judgment)
        if kind == "hurts":
            self.add("dangerous", item, judgment)
        elif kind == "immobilizes":
            self.add("law" if area == LAW else "immobile", item, judgment)
        elif kind == "limits":
            if set(limits) <= set(_USES):
                heading = "use"
            elif area == LAW and not is_own(item):
                heading = "law"
            elif _is_broken(item, limits, self.ways, own or is_own(item)):
                heading = "hard"
            else:
                heading = "overruled" if own else "limited"
            self.add(heading, item, judgment)
            self.limit(limits)


def drive_home(
    order: list[str],
    judged: Judged,
    rules: Rules,
    facts: VisitFacts,
    effects: consequences.Effects,
) -> DriveHome:
    """May it be driven home, why not, and with which limits.

    `order` is every item that applies, in walk order. Reasons: what is dangerous first, then what
    does not move, the law, what the way is too hard for, what of it nobody looked at, the rest.
    """
    answers = consequences.circumstances(facts, rules)
    ways = [name for name in consequences.CIRCUMSTANCES if answers[name] == "yes"]
    findings = _Findings(ways)
    for item, effect in effects.rows:
        findings.hear(item, rules["items"][item]["area"], judged.items[item], effect)
    for item in order:
        if _is_settled(judged.items[item]):
            continue
        part, unknown = consequences.role(rules["items"][item], answers)
        if part == "essential":
            findings.add("unseen", item, judged.items[item])
        elif part == "matters" or unknown:
            findings.add("open", item, judged.items[item])
        findings.limit(unknown)
    return _answer(findings, judged.items, rules)


def _is_settled(judgment: ItemJudgment) -> bool:
    """Whether it was looked at, and no reading waits for somebody to say which unit was meant."""
    doubts = [problem for problem in judgment["problems"] if problem["code"] == "doubt"]
    return judgment["state"] == "done" and not doubts


def _said_limits(
    needed: dict[DriveLimit, bool], names: tuple[DriveLimit, ...], rules: Rules
) -> list[SaidArgument]:
    """What a drive with limits must leave out."""
    limits: list[SaidArgument] = []
    for name in names:
        if name not in needed or (name == "fast" and "motorway" in needed):
            continue  # who stays off the highway is slow already
        args: dict[str, SaidArgument] = {}
        if name in ("motorway", "fast"):
            speed = figure(TOP_SPEED_KM_H, "km/h")
            speed["step"] = ROUND
            args["speed"] = speed
        elif name == "far":
            settings = rules.get("drive") or {}
            distance = figure(consequences.distance_of(settings.get("limits_km", "50")), "km")
            distance["step"] = ROUND
            args["distance"] = distance
        limits.append({"said": said("easy-" + name.replace("_", "-"), args)})
    return limits


def _add_row(rows: list[_Row], item: str, name: str, judgment: ItemJudgment | None) -> None:
    """Add a short sentence of an item; of items that one combination raised the first says why."""
    args: dict[str, SaidArgument] = {"item": title("item", item)}
    shared: Said | None = None
    if judgment is not None and judgment["state"] != "open" and name not in _UNSEEN:
        if not judgment["reasons"]:
            rows.append(_Row(item, said("drive-fault", args), None))
            return
        first = judgment["reasons"][0]
        shared = first["said"] if first["code"] == "combination" else None
        args["why"] = {"said": alone(first["said"])}
    row = _Row(item, said(name, args), shared)
    place = len(rows)
    for n in range(len(rows)):
        if judgment is not None and shared is not None and rows[n].shared == shared:
            place = n + 1
            del args["why"]
            args["grade"] = grade(judgment["grade"])
            row.sentence = said("drive-same", args)
            break
    rows.insert(place, row)


def _answer(findings: _Findings, items: dict[str, ItemJudgment], rules: Rules) -> DriveHome:
    answer: DriveAnswer = "drive"
    decisive = ""
    reasons: list[DriveReason] = []
    for heading, _, outcome in _HEADINGS:
        if findings.rows[heading] and not decisive:
            answer, decisive = outcome, heading
        for row in findings.rows[heading]:
            seen = heading not in ("unseen", "open") and items[row.item]["state"] == "done"
            reasons.append({"item": row.item, "said": row.sentence, "seen": seen})
    return {
        "answer": answer,
        "said": _sentence(answer, decisive, findings, rules),
        "reasons": reasons,
    }


def _sentence(answer: DriveAnswer, decisive: str, findings: _Findings, rules: Rules) -> Said:
    """The answer with what decided it: a wet road is no reason where the brakes are unsafe."""
    if decisive == "hard":
        ways: list[SaidArgument] = [term("way-" + way) for way in findings.ways]
        return said("answer-trailer-hard", {"ways": listed(ways)})
    if answer == "trailer":
        return said(
            "answer-trailer-" + decisive,
            {"items": named_items([row.item for row in findings.rows[decisive]])},
        )
    if answer == "not_cleared":
        return said("answer-not-cleared", {"count": len(findings.rows["unseen"])})
    limits = _said_limits(findings.limits, _LIMITS, rules)
    uses = _said_limits(findings.limits, _USES, rules)
    if answer == "drive":
        sentence = said("drive-drive" if uses else "answer-drive")
        if uses:
            sentence["then"] = [said("answer-use", {"limits": listed(uses)})]
        return sentence
    if not limits + uses:
        return said("answer-limits-slow")
    sentence = said("answer-limits", {"limits": listed(limits + uses)})
    waits = [way for way in findings.ways if way in findings.limits]
    if waits:
        args: dict[str, SaidArgument] = {"ways": listed([term("way-" + way) for way in waits])}
        sentence["then"] = [said("answer-wait", args)]
    return sentence


def named_items(items: list[str]) -> SaidArgument:
    """The first items by name, and how many more there are."""
    shown = len(items) if len(items) <= MOST_NAMED else MOST_NAMED - 1
    parts: list[SaidArgument] = [title("item", item) for item in items[:shown]]
    if shown < len(items):
        parts.append({"said": said("items-more", {"count": len(items) - shown})})
    return listed(parts)
