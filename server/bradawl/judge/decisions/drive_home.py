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
        VisitFacts,
    )

CAUTION = (
    "This replaces no inspection by a licensed tester. Local law decides whether the car may be on "
    "the road: registration, insurance, a valid test."
)
LAW = "papers"  # whether the law lets it on the road is no matter of driving carefully
_CIRCUMSTANCES: tuple[Circumstance, ...] = ("dark", "wet", "motorway", "far")
_ROLES: tuple[Role, ...] = ("no", "matters", "essential")
_WAYS = {"dark": "dark", "wet": "wet", "motorway": "on the motorway", "far": "far"}
_LIMITS = {
    "dark": "in daylight only",
    "wet": "on a dry road only",
    "motorway": "off the motorway, at no more than 80 km/h",
    "far": "no farther than %s",
}

# The first row that fits an item gives its heading and sentence; "" fits anything. The rows stand
# in the order in which the reasons are read out.
_RULES = (
    # finding      role         area  heading      sentence
    ("dangerous", "", "", "dangerous", "dangerous"),
    ("major", "essential", LAW, "law", "the law keeps it off the road"),
    ("major", "essential", "", "essential", "major fault"),
    ("unseen", "essential", "", "unseen", "not looked at, and the drive depends on it"),
    ("major", "matters", "", "major", "major fault"),
    ("unseen", "matters", "", "open", "not looked at"),
)
_HEADINGS = [rule[3] for rule in _RULES]

# What the headings that were met come to: the first row that fits, "drive" when none does.
_ANSWERS: tuple[tuple[str, DriveAnswer], ...] = (
    ("dangerous", "trailer"),
    ("law", "trailer"),
    ("essential on a hard way", "trailer"),
    ("unseen", "not_cleared"),
    ("essential", "limits"),
    ("major", "limits"),
    ("open", "limits"),
)


class _Row:
    """A reason before it is read out; `shared` is what it has from a combination."""

    def __init__(self, item: str, text: str, shared: str) -> None:
        self.item = item
        self.text = text
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
    """(heading, sentence) of the first row that fits; two empty texts when none does."""
    for wanted, wanted_role, wanted_area, heading, sentence in _RULES:
        if wanted == finding and wanted_role in ("", role) and wanted_area in ("", area):
            return heading, sentence
    return "", ""


def _limits(needed: dict[Circumstance, bool], rules: Rules, facts: VisitFacts) -> list[str]:
    """The sentences of the circumstances that a drive with limits must exclude."""
    limits = []
    for name in _CIRCUMSTANCES:
        if name not in needed:
            continue
        text = _LIMITS[name]
        if name == "far":
            typed = facts["about"].get("distance_home")
            unit = "mi" if isinstance(typed, dict) and typed.get("unit") == "mi" else "km"
            limit_km = _distance((rules.get("drive") or {}).get("limits_km", "50"))
            limit = exact.decimal(units.from_base(limit_km, unit), 0)
            text = text % units.format_amount(limit, unit)
        limits.append(text)
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
        heading, sentence = _heading(finding, role, rule["area"])
        if not finding:
            continue
        if heading:
            _add_row(rows[heading], item, sentence, rule, judgment)
        elif excluded and role == "no":
            why = "not in order" if judgment["state"] == "done" else "not looked at"
            _add_row(rows["open"], item, why, rule, None)
        if heading == "essential" and not harder:
            for name in _CIRCUMSTANCES:
                needed[name] = True
        for name in excluded:
            needed[name] = True
    return _answer(rows, items, harder, _limits(needed, rules, facts))


def _add_row(
    rows: list[_Row], item: str, what: str, rule: Rule, judgment: ItemJudgment | None
) -> None:
    """Add a short sentence of an item; of items that one combination raised the first says why."""
    title = rule.get("title") or item
    why = shared = ""
    if judgment is not None and judgment["grade"] in ("dangerous", "major") and judgment["reasons"]:
        first = judgment["reasons"][0]
        why = first.get("short") or first["text"]
        shared = why if first["code"] == "combination" else ""
    row = _Row(item, trimmed("%s: %s. %s" % (title, what, why)), shared)
    place = len(rows)
    for n in range(len(rows)):
        if shared and rows[n].shared == shared:
            place = n + 1
            row.text = "%s: %s, for the same reason." % (title, what)
    rows.insert(place, row)


def _answer(
    rows: dict[str, list[_Row]],
    items: dict[str, ItemJudgment],
    harder: list[Circumstance],
    limits: list[str],
) -> DriveHome:
    is_hard_way = bool(rows["essential"]) and bool(harder)
    answer: DriveAnswer = "drive"
    for heading, outcome in _ANSWERS:
        met = is_hard_way if heading == "essential on a hard way" else bool(rows[heading])
        if met:
            answer = outcome
            break
    reasons: list[DriveReason] = []
    for heading in _HEADINGS:
        for row in rows[heading]:
            seen = items[row.item]["state"] == "done"
            reasons.append({"item": row.item, "text": row.text, "seen": seen})
    return {
        "answer": answer,
        "text": _text(answer, len(rows["unseen"]), harder if is_hard_way else [], limits),
        "reasons": reasons,
        "limits": limits if answer == "limits" else [],
        "caution": CAUTION,
    }


def _text(answer: DriveAnswer, unseen: int, harder: list[Circumstance], limits: list[str]) -> str:
    if answer == "trailer":
        text = "Do not drive it: take it home on a trailer."
        if harder:
            way = words.listed([_WAYS[name] for name in harder])
            text = text + " There are major faults, and the way is %s." % way
        return text
    if answer == "not_cleared":
        return "Not cleared to drive: %s that the drive depends on %s not looked at." % (
            words.counted(unseen, "item", "items"),
            "was" if unseen == 1 else "were",
        )
    if answer == "limits":
        how = words.listed(limits) if limits else "slowly, and stop to look"
        return "Drive it only with limits: %s." % how
    return "Nothing that was looked at speaks against driving it home."
