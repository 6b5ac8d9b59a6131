"""Findings that no check asks for, in somebody's own words, as rules of the visit they belong to.

They stand at items/<area>.own-<name>/…: text, grade, cost, note, photos. Whatever knows an item by
its rule knows them so. Only a person grades them, only their own job mends them, and nothing else
of the checklist has a say in what they do.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from ..values import grades
from ..values.amounts import rising
from ..values.ascii_text import trimmed
from ..values.saying import said, term
from .readings import candidates

if TYPE_CHECKING:
    from ..values.types import Cell, Cells, Role, Rule, Rules, SaidArgument

MARK = ".own-"
MEND = "mend"
UNTITLED = term("own-untitled")
MOST_LETTERS = 80  # of a finding's words within a sentence
_ROLES: tuple[Role, ...] = ("no", "matters", "essential")


def is_own(item: str) -> bool:
    """Whether an item is a finding that no check asks for."""
    return item.find(MARK) > 0


def with_own(rules: Rules, cells: Cells) -> Rules:
    """The rules with one for each such finding of a record; what a checklist has itself stays."""
    found = {}
    for path in cells:
        item = path.split("/")[1] if path.startswith("items/") else ""
        if cells[path]["value"] is not None and is_own(item):
            known = rules["items"].get(item)
            if known is None or known.get("own"):
                found[item] = True
    if not found:
        return rules
    local = rules.copy()
    local["items"] = rules["items"].copy()
    for item in sorted(found):
        local["items"][item] = rule_of(item, cells, rules)
    return local


def rule_of(item: str, cells: Cells, rules: Rules) -> Rule:
    """The rule of one: it is what its area is to the drive home, and mended by a job of its own."""
    area = item[: item.find(MARK)]
    cost = _cost(item, cells)
    rule: Rule = {
        "area": area,
        "title": words(cells.get("items/" + item + "/text")),
        "order": 0,
        "own": True,
        "answers": ["grade"],
        "drive": _role(area, rules),
        "remedies": [
            {
                "id": MEND,
                "title": "",
                "kind": "part",
                "for": list(grades.FAULTS),
                "parts": cost or [0, 0, 0],
                "hours": ["0", "0", "0"],
                "need": True,
            }
        ],
    }
    if not cost:
        rule["no_figure"] = True
    return rule


def _role(area: str, rules: Rules) -> Role:
    """The most that the drive depends on any item of the area; unknown is never fine."""
    most, is_known = 0, False
    for item in rules["items"]:
        rule = rules["items"][item]
        if rule.get("area") != area or rule.get("own"):
            continue
        is_known = True
        most = max(most, _ROLES.index(rule.get("drive") or "no"))
        raised = rule.get("drive_if") or {}
        for name in raised:
            most = max(most, _ROLES.index(raised[name]))
    return _ROLES[most] if is_known else "essential"


def words(cell: Cell | None) -> str:
    """As much of a finding's words as a sentence has room for; "" where nobody wrote any."""
    value = cell["value"] if cell is not None else None
    return short(value) if isinstance(value, str) else ""


def short(text: str) -> str:
    """One line of a text, no longer than a sentence has room for."""
    letters: list[str] = []
    for letter in trimmed(text[: 4 * MOST_LETTERS]):
        if letter > " ":
            letters.append(letter)
        elif letters and letters[-1] != " ":
            letters.append(" ")
    if len(letters) > MOST_LETTERS:
        letters = letters[: MOST_LETTERS - 1] + ["…"]
    return "".join(letters)


def _cost(item: str, cells: Cells) -> list[int]:
    """Low, likely and high in whole units, or one firm figure; [] where nobody gave any.

    Of figures given unseen of one another the dearest counts.
    """
    cell = cells.get("items/" + item + "/cost")
    dearest: list[int] = []
    for value in candidates(cell) if cell is not None else []:
        amounts = rising(value if isinstance(value, list) else [value, value, value])
        if amounts and (not dearest or _weight(amounts) > _weight(dearest)):
            dearest = amounts
    return dearest


def _weight(amounts: list[int]) -> tuple[int, list[int]]:
    return amounts[0] + 4 * amounts[1] + amounts[2], amounts


def name(rule: Rule) -> SaidArgument:
    """What a finding is called: its words."""
    return rule["title"] or UNTITLED


def job(rule: Rule) -> SaidArgument:
    """What its job is called."""
    return {"said": said("own-mend", {"words": name(rule)})}


def call_by_words(said_of: Any, rules: Rules) -> None:
    """Let every sentence within `said_of` name such findings in their words, not by their ids."""
    left: list[Any] = [said_of]
    while left:
        value: Any = left.pop()
        if isinstance(value, list):
            left.extend(value)
        elif isinstance(value, dict):
            ids = value.get("checklist") or []
            rule = rules["items"].get(ids[1]) if len(ids) == 2 and ids[0] == "item" else None
            if rule is not None and rule.get("own"):
                if rule["title"]:
                    value["checklist"] = ids + [rule["title"]]
                else:
                    del value["checklist"]
                    value["term"] = UNTITLED["term"]
            for key in sorted(value):
                left.append(value[key])
