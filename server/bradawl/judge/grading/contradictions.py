"""Answers that cannot both be true of one car: they are asked, never silently settled.

Until somebody answers, the worse of them counts and none of them counts as fine. A question is
answered when one of its answers changes so that it no longer holds, or when somebody rates one of
its items after all of them, with a reason.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..values.saying import said, title
from . import combinations
from .items import CONTRADICTION, TOGETHER, graded

if TYPE_CHECKING:
    from ..values.types import (
        Cells,
        Contradiction,
        OpenQuestion,
        Rules,
        SaidArgument,
    )


def open_questions(
    rules: Rules, judged: combinations.Judged, grouped: dict[str, Cells]
) -> list[OpenQuestion]:
    """Every contradiction that nobody has answered, within an item and across items.

    `grouped`: the cells of each item. Across items the question is a problem of each of them too,
    so that it stands wherever one of them is shown.
    """
    questions: list[OpenQuestion] = []
    for item in sorted(judged.items):
        for problem in judged.items[item]["problems"]:
            if problem["code"] == CONTRADICTION:
                name = "within-" + item
                questions.append({"id": name, "items": [item], "said": problem["said"]})
    for rule in rules.get("contradictions") or []:
        items = sorted(set(combinations.met_at(rule, judged, rules, None)))
        if items and not _is_answered(items, grouped):
            questions.append(_question(rule, items))
            for item in items:
                judged.items[item]["problems"].append(
                    {
                        "code": CONTRADICTION,
                        "said": questions[-1]["said"],
                        "path": "items/" + item,
                    }
                )
    return questions


def unsettled(questions: list[OpenQuestion]) -> set[str]:
    """The items of open questions: none of them is fine, whatever was answered."""
    items = set()
    for question in questions:
        for item in question["items"]:
            items.add(item)
    return items


def reopen(judged: combinations.Judged, questions: list[OpenQuestion]) -> None:
    """An item that is fine by an answer which another contradicts is open again."""
    for item in unsettled(questions):
        judgment = judged.items[item]
        if judgment["grade"] == "none":
            judgment["grade"], judgment["by"], judgment["state"] = None, None, "open"


def _question(rule: Contradiction, items: list[str]) -> OpenQuestion:
    asked: SaidArgument = title("contradiction", rule["id"])
    return {"id": rule["id"], "items": items, "said": said("question", {"question": asked})}


def _is_answered(items: list[str], grouped: dict[str, Cells]) -> bool:
    """Whether a reason was given at one of the items after everything that they say."""
    latest, reasoned = "", ""
    for item in items:
        cells = grouped.get(item) or {}
        start = "items/" + item + "/"
        for path in cells:
            says = path.startswith(start + "readings/") or path in (
                start + "choice",
                start + "grade",
            )
            if says:
                latest = max(latest, cells[path]["at"])
        given, why = graded(item, cells)
        if given is not None and given != "uninspected" and why not in ("", TOGETHER):
            reasoned = max(reasoned, cells[start + "why"]["at"])
    return reasoned != "" and reasoned >= latest
