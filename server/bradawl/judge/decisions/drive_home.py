"""May it be driven home? Unknown is never fine: what nobody looked at clears nothing.

Decided here: a dangerous finding anywhere, or a major one in what the drive depends on when the
way is far, dark, wet or on motorways, or when it is a matter of papers, means a trailer. A major
one otherwise, or something that matters unseen, means stated limits. Something that the drive
depends on unseen: not cleared.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..record import visit_facts
from ..values import exact
from ..values.saying import alone, figure, grade, listed, said, term, title

if TYPE_CHECKING:
    from ..values.types import (
        Circumstance,
        DriveAnswer,
        DriveHome,
        DriveReason,
        Exact,
        ItemJudgment,
        Role,
        Rule,
        Rules,
        Said,
        SaidArgument,
        VisitFacts,
    )

LAW = "papers"  # whether the law lets it on the road is no matter of driving carefully
_CIRCUMSTANCES: tuple[Circumstance, ...] = ("dark", "wet", "motorway", "far")
_ROLES: tuple[Role, ...] = ("no", "matters", "essential")
HARD_WAY = "hard-way"
TOP_SPEED_KM_H = (80, 1)  # off the highway; common practice, no source
ROUND = 5  # in another unit, a limit is shown as a multiple of it: 50 mph, 30 mi

# The first row that fits an item gives its heading and message; "" fits anything. The rows stand
# in the order in which the reasons are read out.
_RULES = (
    # finding      role         area  heading      message
    ("dangerous", "", "", "dangerous", "drive-unsafe"),
    ("major", "essential", LAW, "law", "drive-law"),
    ("major", "essential", "", "essential", "drive-major"),
    ("unseen", "essential", "", "unseen", "drive-unseen"),
    ("major", "matters", "", "major", "drive-major"),
    ("unseen", "matters", "", "open", "drive-open"),
)
_HEADINGS = [rule[3] for rule in _RULES]

# What the headings that were met come to: the first row that fits, "drive" when none does.
_ANSWERS: tuple[tuple[str, DriveAnswer], ...] = (
    ("dangerous", "trailer"),
    ("law", "trailer"),
    (HARD_WAY, "trailer"),
    ("unseen", "not_cleared"),
    ("essential", "limits"),
    ("major", "limits"),
    ("open", "limits"),
)

#: Items that the answer names.
MOST_NAMED = 3


class _Row:
    """A reason before it is read out; `shared` is the combination that it has it from."""

    def __init__(self, item: str, sentence: Said, shared: Said | None) -> None:
        self.item = item
        self.sentence = sentence
        self.shared = shared


def circumstances(facts: VisitFacts, rules: Rules) -> dict[Circumstance, str]:
    """yes, no or unknown for each of dark, wet, motorway, far."""
    answers: dict[Circumstance, str] = {}
    for name in _CIRCUMSTANCES:
        value = facts["about"].get(name)
        answers[name] = "yes" if value is True else "no" if value is False else "unknown"
    distance = visit_facts.distance_km(facts["about"].get("distance_home"))
    if distance is None:
        answers["far"] = "unknown"
    else:
        far_km = _distance((rules.get("drive") or {}).get("far_km", "100"))
        answers["far"] = "yes" if exact.less(far_km, distance) else "no"
    return answers


def _distance(text: str) -> Exact:
    """A distance of the checklist in km; 100 where it cannot be read."""
    return exact.parse(str(text)) or (100, 1)


def _role(rule: Rule, answers: dict[Circumstance, str], excluded: dict[Circumstance, bool]) -> Role:
    """The item's part in this drive; an unknown circumstance is noted as to be excluded."""
    role = rule.get("drive") or "no"
    raised_in = rule.get("drive_if") or {}
    for name in _CIRCUMSTANCES:
        raised = raised_in.get(name)
        if raised is None or _ROLES.index(raised) <= _ROLES.index(role):
            continue
        if answers[name] == "yes":
            role = raised
        elif answers[name] == "unknown":
            excluded[name] = True
    return role


def _finding(judgment: ItemJudgment) -> str:
    """dangerous, major, unseen, or "" for what asks for nothing."""
    if judgment["grade"] in ("dangerous", "major"):
        return str(judgment["grade"])
    return "" if judgment["state"] == "done" else "unseen"


def _heading(finding: str, role: str, area: str) -> tuple[str, str]:
    """(heading, message) of the first row that fits; two empty texts when none does."""
    for wanted, wanted_role, wanted_area, heading, name in _RULES:
        if wanted == finding and wanted_role in ("", role) and wanted_area in ("", area):
            return heading, name
    return "", ""


def _limits(needed: dict[Circumstance, bool], rules: Rules) -> list[SaidArgument]:
    """What a drive with limits must exclude."""
    limits: list[SaidArgument] = []
    for name in _CIRCUMSTANCES:
        if name not in needed:
            continue
        args: dict[str, SaidArgument] = {}
        if name == "motorway":
            speed = figure(TOP_SPEED_KM_H, "km/h")
            speed["step"] = ROUND
            args["speed"] = speed
        elif name == "far":
            distance = figure(_distance((rules.get("drive") or {}).get("limits_km", "50")), "km")
            distance["step"] = ROUND
            args["distance"] = distance
        limits.append({"said": said("easy-" + name, args)})
    return limits


def drive_home(
    order: list[str], items: dict[str, ItemJudgment], rules: Rules, facts: VisitFacts
) -> DriveHome:
    """May it be driven home, why not, and with which limits.

    `order` is every item that applies, in walk order. Reasons: what is dangerous first, then major
    faults in what the drive depends on, then what of it nobody looked at, then the rest.
    """
    answers = circumstances(facts, rules)
    harder = [name for name in _CIRCUMSTANCES if answers[name] == "yes"]
    rows: dict[str, list[_Row]] = {}
    for heading in _HEADINGS:
        rows[heading] = []
    needed: dict[Circumstance, bool] = {}
    for item in order:
        judgment, rule = items[item], rules["items"][item]
        excluded: dict[Circumstance, bool] = {}
        role = _role(rule, answers, excluded)
        finding = _finding(judgment)
        heading, name = _heading(finding, role, rule["area"])
        if not finding:
            continue
        if heading:
            _add_row(rows[heading], item, name, judgment)
        elif excluded and role == "no":
            name = "drive-fault" if judgment["state"] == "done" else "drive-open"
            _add_row(rows["open"], item, name, None)
        if heading == "essential" and not harder:
            for name in _CIRCUMSTANCES:
                needed[name] = True
        for name in excluded:
            needed[name] = True
    return _answer(rows, items, harder, _limits(needed, rules))


def _add_row(rows: list[_Row], item: str, name: str, judgment: ItemJudgment | None) -> None:
    """Add a short sentence of an item; of items that one combination raised the first says why."""
    args: dict[str, SaidArgument] = {"item": title("item", item)}
    shared: Said | None = None
    if judgment is not None and judgment["grade"] in ("dangerous", "major"):
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


def _answer(
    rows: dict[str, list[_Row]],
    items: dict[str, ItemJudgment],
    harder: list[Circumstance],
    limits: list[SaidArgument],
) -> DriveHome:
    is_hard_way = bool(rows["essential"]) and bool(harder)
    answer: DriveAnswer = "drive"
    decisive = ""
    for heading, outcome in _ANSWERS:
        met = is_hard_way if heading == HARD_WAY else bool(rows[heading])
        if met:
            answer, decisive = outcome, heading
            break
    reasons: list[DriveReason] = []
    for heading in _HEADINGS:
        for row in rows[heading]:
            seen = items[row.item]["state"] == "done"
            reasons.append({"item": row.item, "said": row.sentence, "seen": seen})
    return {
        "answer": answer,
        "said": _sentence(answer, decisive, rows, harder, limits),
        "reasons": reasons,
    }


def _sentence(
    answer: DriveAnswer,
    decisive: str,
    rows: dict[str, list[_Row]],
    harder: list[Circumstance],
    limits: list[SaidArgument],
) -> Said:
    """The answer with what decided it: a wet road is no reason where the brakes are unsafe."""
    if decisive == HARD_WAY:
        return said("answer-trailer-hard", {"ways": listed([term("way-" + way) for way in harder])})
    if answer == "trailer":
        return said("answer-trailer-" + decisive, {"items": _named(rows[decisive])})
    if answer == "not_cleared":
        return said("answer-not-cleared", {"count": len(rows["unseen"])})
    if answer == "limits" and limits:
        return said("answer-limits", {"limits": listed(limits)})
    return said("answer-" + ("limits-slow" if answer == "limits" else answer))


def _named(rows: list[_Row]) -> SaidArgument:
    """The first items by name, and how many more there are."""
    shown = len(rows) if len(rows) <= MOST_NAMED else MOST_NAMED - 1
    parts: list[SaidArgument] = [title("item", row.item) for row in rows[:shown]]
    if shown < len(rows):
        parts.append({"said": said("items-more", {"count": len(rows) - shown})})
    return listed(parts)
