"""The groups of reasons to pay less add up to the work, each job once.

A law needs no oracle: the parts of a sum are compared with the sum. Which group a finding stands in
is common practice, no source.
"""

from __future__ import annotations

import random
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bradawl.judge import assess
from bradawl.judge.costs.estimates import shares
from bradawl.judge.decisions.price_reasons import GROUPS
from tests.judge.costs.test_price_of_real_checklists import CAR, real
from tests.judge.records import TODAY, record


@given(st.lists(st.integers(0, 60_000), max_size=40))
def test_shares_add_up_to_the_rounded_sum_and_none_is_a_whole_unit_off(sixths: list[int]) -> None:
    given_out = shares(sixths)
    whole = Fraction(sum(sixths), 6)
    assert sum(given_out) == (2 * whole + 1) // 2  # half up
    for amount, share in zip(sixths, given_out, strict=True):
        assert abs(share - Fraction(amount, 6)) < 1


def _adds_up(money: dict[str, Any]) -> None:
    arguments, groups = money["price"]["arguments"], money["price"]["groups"]
    assert [one["id"] for one in arguments] == [line["id"] for line in money["lines"]]
    assert len({one["id"] for one in arguments}) == len(arguments)
    for row in groups:
        of_it = [one for one in arguments if one["group"] == row["group"]]
        assert row["count"] == len(of_it) > 0
        assert row["amount"] == sum(one["amount"] for one in of_it)
    names = [row["group"] for row in groups]
    assert names == [name for name in GROUPS if name in names]
    assert {one["group"] for one in arguments} == set(names)
    assert sum(row["amount"] for row in groups) == money["totals"]["expected"]
    # what no job puts right is named apart, and never in a sum as well
    assert not {item for one in arguments for item in one["covers"]} & set(money["unpriced"])


FAULTY = sorted(real()["items"])


@settings(max_examples=20, deadline=None)
@given(st.integers(0, 2**32), st.integers(0, 60))
def test_the_groups_of_any_findings_add_up_to_the_work(seed: int, count: int) -> None:
    draw = random.Random(seed)
    found = {
        item: draw.choice(["minor", "major", "dangerous"]) for item in draw.sample(FAULTY, count)
    }
    rules: Any = real()
    told: Any = assess(record(found, **CAR), rules, TODAY)
    _adds_up(told["money"])


@pytest.mark.parametrize(
    ("item", "grade", "group"),
    [
        ("brakes.hoses", "dangerous", "safety"),
        ("rust.sills", "dangerous", "structure"),
        ("rust.arches", "minor", "structure"),
        ("cooling.hoses", "major", "wear"),
        ("papers.registration", "major", "other"),
    ],
)
def test_a_finding_stands_in_the_group_of_its_kind(item: str, grade: str, group: str) -> None:
    rules: Any = real()
    told: Any = assess(record({item: grade}, **CAR), rules, TODAY)
    groups = {one["group"] for one in told["money"]["price"]["arguments"] if item in one["covers"]}
    assert groups == {group}


def test_work_without_a_receipt_is_service_and_a_job_of_nobodys_finding_other_work() -> None:
    rules: Any = real()
    made = record({}, **CAR)
    wish = {"title": "Roof rack", "need": True, "parts": [90, 100, 110], "hours": ["0", "0", "0"]}
    made["cells"]["plan/wants/rack"] = {"value": wish, "at": "", "others": []}
    told: Any = assess(made, rules, TODAY)
    groups = {row["group"]: row for row in told["money"]["price"]["groups"]}
    assert groups["other"] == {"group": "other", "amount": 100, "count": 1}
    assert set(groups) == {"service", "other"}
    _adds_up(told["money"])
