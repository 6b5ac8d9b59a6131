"""Where a reason to pay less lies, as the phone has it (`web/test/app/visit/paying-less.test.ts`).

The table that both are held to is invented; the places are named by hand from `shared.ftl`.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from bradawl.inspection import paying_less
from bradawl.language import say

CASES = json.loads((Path(__file__).parent / "paying_less.json").read_text(encoding="utf-8"))


@pytest.mark.parametrize("case", CASES, ids=lambda case: str(case["why"]))
def test_a_finding_is_told_with_its_place(case: dict[str, Any]) -> None:
    item = case["item"]
    cells = {
        f"items/{item['id']}/photos/{n}": {"value": {"place": place}}
        for n, place in enumerate(case["photos"])
    }
    assert paying_less.where_of(item["id"], case["reasons"], cells, [item]) == case["where"]


def test_the_four_groups_stand_there_with_nothing_in_them_too() -> None:
    def argument(covers: list[str], group: str, why: str) -> dict[str, Any]:
        args = {"title": "Weld", "cost": {"money": 300, "currency": "USD"}, "why": why}
        said = {"id": "judge-argument-why", "args": args}
        return {"item": covers[0], "covers": covers, "said": said, "amount": 300, "group": group}

    money: dict[str, Any] = {
        "price": {
            "arguments": [argument(["a", "b", "c"], "structure", "Soft at the left rocker.")],
            "groups": [{"group": "structure", "amount": 300, "count": 1}],
        }
    }
    where = {"a": "roof", "b": "roof, front left", "c": "left rocker"}
    made = paying_less.groups(money, {}, lambda item: where[item], lambda row: say(row["said"], {}))
    assert [(group.title, group.amount, len(group.reasons)) for group in made] == [
        ("Safety", 0, 0), ("Rust and structure", 300, 1), ("Wear", 0, 0), ("Service due", 0, 0),
    ]  # fmt: skip
    (reason,) = made[1].reasons
    # each place once, and none that the reason names already
    assert (reason.where, reason.item) == ("roof, front left", "a")
    assert reason.said == "Weld, about $300. Soft at the left rocker."
    # what an older judge said has no groups
    del money["price"]["groups"]
    assert paying_less.groups(money, {}, lambda item: "", lambda row: "") == []
