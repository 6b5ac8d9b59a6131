"""What look-ups say of a car: the latest of each kind stands, and none is good for ever.

A bad one is paperwork to clear up, never a price: what is found at the car is priced at its check.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from ..record.lookups import RESULTS
from ..values import dates
from ..values.saying import said, title

if TYPE_CHECKING:
    from ..values.types import Clause, LookupJudgment, Rules, SaidArgument, VisitFacts

#: A record may change after it was looked up; common practice, no source.
GOOD_FOR_DAYS = 30


def judge(facts: VisitFacts, rules: Rules) -> list[LookupJudgment]:
    """Every look-up of the record, sorted by id; `stands`: no later one is of its kind.

    Of one day the worse stands.
    """
    known = {row["id"]: row for row in rules.get("lookups") or []}
    latest: dict[str, tuple[int, int, str]] = {}
    days: dict[str, int | None] = {}
    for row in facts.get("lookups") or []:
        day = days[row["id"]] = dates.parse(row["date"])
        rank = (0 if day is None else day, -RESULTS.index(row["result"]), row["id"])
        latest[row["kind"]] = max(latest.get(row["kind"], rank), rank)
    judged: list[LookupJudgment] = []
    for row in facts.get("lookups") or []:
        day, rule = days[row["id"]], known.get(row["kind"])
        one: Any = row.copy()
        one["stands"] = latest[row["kind"]][2] == row["id"]
        one["stops"] = one["stands"] and row["result"] == "bad" and bool(rule and rule["stops"])
        age = None if day is None else facts["day"] - day
        if age is None:
            one["old"] = said("lookup-undated")
        elif age > GOOD_FOR_DAYS:
            one["old"] = said("lookup-old", {"count": age})
        judged.append(one)
    return judged


def steps(rows: list[LookupJudgment]) -> list[Clause]:
    """What to clear up before anything is paid."""
    return [
        {"said": said("now-lookup", {"lookup": title("lookup", row["kind"])}), "item": ""}
        for row in rows
        if row["stops"]
    ]


def told(rows: list[LookupJudgment]) -> list[Clause]:
    """The bad ones that stand, those first that are cleared up before anything is paid."""
    clauses: list[Clause] = []
    for stops in (True, False):
        for row in rows:
            if not row["stands"] or row["result"] != "bad" or row["stops"] is not stops:
                continue
            args: dict[str, SaidArgument] = {"lookup": title("lookup", row["kind"])}
            sentence = said("lookup-stops" if stops else "lookup-bad", args)
            if row.get("old"):
                sentence["then"] = [row["old"]]
            clauses.append({"said": sentence, "item": ""})
    return clauses
