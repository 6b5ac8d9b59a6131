"""Plan, causes and histories are the same under both engines; each is the other's oracle."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bradawl.judge.costs import plan
from bradawl.judge.decisions import histories
from bradawl.judge.grading.combinations import Judged
from bradawl.judge.trouble import chances
from bradawl.serving.judge_files import all_files
from tests.judge.costs.test_plan import COSTS, shops, workshops
from tests.judge.costs.test_sequence import shops as sequenced
from tests.judge.decisions.test_histories import ITEMS, judged, rules, worlds
from tests.judge.engines.micropython import MicroPython
from tests.judge.trouble.test_chances import tables

# The door of the phone offers what the phone asks; this one offers any function of these modules.
DOOR = """
import json
from .costs import plan
from .decisions import histories
from .grading.combinations import Judged
from .trouble import chances

MODULES = {"plan": plan, "chances": chances, "histories": histories}

def ask(text):
    question = json.loads(text)
    arguments = question["arguments"]
    if question["items"] is not None:
        judged = Judged()
        judged.items = question["items"]
        arguments = [judged] + arguments
    return json.dumps(getattr(MODULES[question["module"]], question["function"])(*arguments))
"""
MODULES = {"plan": plan, "chances": chances, "histories": histories}
Both = Callable[..., Any]


@pytest.fixture(scope="module")
def both() -> Iterator[Both]:
    """Calls a function under both engines, demands equal answers and gives that answer."""
    files = {**all_files(), "judge/json_api.py": DOOR}
    with MicroPython(files) as phone:

        def call(module: str, function: str, *arguments: Any, seen: Judged | None = None) -> Any:
            question = {
                "module": module,
                "function": function,
                "items": seen.items if seen else None,
                "arguments": arguments,
            }
            before = [seen] if seen else []
            here = json.loads(json.dumps(getattr(MODULES[module], function)(*before, *arguments)))
            there = phone.ask(question)
            assert json.dumps(here, sort_keys=True) == json.dumps(there, sort_keys=True)
            return here

        yield call


@given(shop=shops())
@settings(max_examples=40, deadline=None, derandomize=True)
def test_the_cheapest_set_is_the_same(both: Both, shop: Any) -> None:
    both("plan", "cheapest", *shop)


@given(
    assembly=COSTS,
    mending=COSTS,
    further=st.lists(
        st.fixed_dictionaries(
            {
                "cost": COSTS,
                "count": st.integers(0, 5),
                "chance_percent": st.integers(0, 100),
            }
        ),
        max_size=4,
    ),
)
@settings(max_examples=40, deadline=None, derandomize=True)
def test_tip_over_is_the_same(both: Both, assembly: Any, mending: Any, further: Any) -> None:
    both("plan", "tip_over", assembly, mending, further)


@given(jobs=workshops(), budgets=st.lists(st.integers(0, 400), max_size=4))
@settings(max_examples=40, deadline=None, derandomize=True)
def test_order_and_spread_are_the_same(both: Both, jobs: Any, budgets: list[int]) -> None:
    ordered = both("plan", "order", jobs)["order"]
    by_id = {job["id"]: job for job in jobs}
    both("plan", "spread", [by_id[name] for name in ordered], budgets)


@given(shop=sequenced(most=5))
@settings(max_examples=40, deadline=None, derandomize=True)
def test_the_best_order_is_the_same(both: Both, shop: Any) -> None:
    both("plan", "best", *shop)


@given(held=tables())
@settings(max_examples=40, deadline=None, derandomize=True)
def test_ranking_and_next_test_are_the_same(both: Both, held: Any) -> None:
    both("chances", "rank", *held)
    both("chances", "next_tests", *held)


@given(world=worlds(groups=True), minutes=st.sampled_from(["0.5", "1", "2.5"]))
@settings(max_examples=40, deadline=None, derandomize=True)
def test_histories_and_what_they_leave_of_the_value_are_the_same(
    both: Both, world: Any, minutes: str
) -> None:
    rows, known = world
    told = rules(*rows, minutes={"a": minutes})
    both("histories", "judge", list(ITEMS), told, seen=judged(known))
    hidden = both("histories", "chances", list(ITEMS), told, seen=judged(known))
    both("histories", "worth_factor", hidden, [[2, 3]])
