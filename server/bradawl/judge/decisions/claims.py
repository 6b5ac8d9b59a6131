"""What became of each claim: what its checks say of it, and what a person made of that.

A claim never makes anything cheaper or finer: what is claimed counts as not done, and what was seen
or proven counts where it was looked at, at its check. One that was found false is said in the
decision, with what speaks against it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from ..grading import combinations
from ..record.claims import called, items_of
from ..values.saying import alone, said, title

if TYPE_CHECKING:
    from ..grading.combinations import Judged
    from ..values.types import (
        Claim,
        ClaimJudgment,
        Clause,
        Condition,
        Rules,
        SaidArgument,
        VisitFacts,
    )

#: Answers that say only what somebody said, or that nobody looked it up.
_NOT_SEEN = ("claimed", "unknown", "unchecked")
_ADVICE = ("claim", "look_first", "want")


def judge(facts: VisitFacts, judged: Judged, order: list[str], rules: Rules) -> list[ClaimJudgment]:
    """Every claim of the record; `order` is every item that applies."""
    return [_judge(claim, judged, order, rules) for claim in facts.get("claims") or []]


def _judge(claim: Claim, judged: Judged, order: list[str], rules: Rules) -> ClaimJudgment:
    items = [item for item in items_of(claim["kind"], rules) if item in order]
    rows = [row for row in rules.get("claims") or [] if row["id"] == claim["kind"]]
    against = found(rows[0]["checks"], judged, items, rules) if rows else ""
    standing = claim["standing"]
    row: Any = {
        "id": claim["id"],
        "kind": claim["kind"],
        "title": called(claim),
        "who": claim["who"],
        "standing": standing,
        "items": items,
        "item": against,
    }
    name = "claim-" + standing
    if against:
        if standing != "false":
            row["suggests"] = "false"
        name = "claim-false-by" if standing == "false" else "claim-against"
    elif items and standing in ("claimed", "false") and are_seen(items, judged):
        row["suggests"] = "seen"
        name = "claim-looks" if standing == "claimed" else name
    row["said"] = said(name, shown(against, judged))
    checked: ClaimJudgment = row
    return checked


def found(checks: list[Condition], judged: Judged, items: list[str], rules: Rules) -> str:
    """The first of `items` that meets a condition, and not by a word alone; "" for none."""
    for condition in checks:
        for item in combinations.items_of(condition, judged, rules, None):
            if item in items and not _is_word(item, judged):
                return item
    return ""


def _is_word(item: str, judged: Judged) -> bool:
    """Whether the answer to a check is only what somebody said."""
    return bool([a for a in judged.choices.get(item) or [] if a in _NOT_SEEN])


def are_seen(items: list[str], judged: Judged) -> bool:
    for item in items:
        if judged.items[item]["state"] != "done" or _is_word(item, judged):
            return False
    return True


def shown(item: str, judged: Judged) -> dict[str, SaidArgument]:
    """What speaks against a claim, by name and reason."""
    if not item:
        return {}
    args: dict[str, SaidArgument] = {"item": title("item", item)}
    told = [r for r in judged.items[item]["reasons"] if r["code"] not in _ADVICE]
    args["why"] = {"said": alone(told[0]["said"])} if told else title("item", item)
    return args


def told(rows: list[ClaimJudgment], judged: Judged) -> list[Clause]:
    """The claims that were found false, each with what showed it."""
    clauses: list[Clause] = []
    for row in rows:
        if row["standing"] == "false":
            args = shown(row["item"], judged)
            args["claim"] = row["title"]
            name = "claim-lie-by" if row["item"] else "claim-lie"
            clauses.append({"said": said(name, args), "item": row["item"]})
    return clauses
