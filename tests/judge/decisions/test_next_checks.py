"""Coverage and what next, against brute force and scipy's integer programming."""

from __future__ import annotations

import itertools
import random
from fractions import Fraction
from typing import Any

import numpy
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import Bounds, LinearConstraint, milp

from bradawl.judge.decisions import knapsack
from bradawl.judge.decisions.next_checks import what_next, worth
from tests.judge.records import assessed, item, rules
from tests.judge.saying import said


def random_items(dice: random.Random, count: int, needs: int) -> dict[str, Any]:
    items: dict[str, Any] = {}
    for n in range(count):
        earlier = sorted(items)
        items[f"a.{n:02d}"] = item(
            minutes=dice.choice(["0.3", "0.5", "1", "1.5", "2", "3"]),
            danger=dice.randrange(6),
            unseen={"chance": dice.choice(["0.05", "0.2", "0.5"]),
                    "cost": sorted(dice.randrange(900) for _ in range(3))},
            needs=dice.sample(earlier, min(len(earlier), dice.randrange(needs + 1))),
            stage=dice.choice(["outside", "underneath"]),
        )  # fmt: skip
    return items


def worths(r: dict[str, Any]) -> dict[str, int]:
    return {name: worth(r["items"][name], r, []) for name in r["items"]}


def minutes_of(r: dict[str, Any], chosen: tuple[str, ...]) -> Fraction:
    setup = r["attention"]["setup"]
    stages = {r["items"][n]["stage"] for n in chosen}
    total = sum((Fraction(r["items"][n]["minutes"]) for n in chosen), Fraction(0))
    return total + sum((Fraction(setup[s]) for s in stages if s in setup), Fraction(0))


def by_brute_force(r: dict[str, Any], minutes: int) -> int:
    values, names, best = worths(r), sorted(r["items"]), 0
    for size in range(len(names) + 1):
        for chosen in itertools.combinations(names, size):
            complete = all(set(r["items"][n]["needs"]) <= set(chosen) for n in chosen)
            if complete and minutes_of(r, chosen) <= minutes:
                best = max(best, sum(values[n] for n in chosen))
    return best


def by_integer_programming(r: dict[str, Any], minutes: int) -> int:
    values, names = worths(r), sorted(r["items"])
    setup = sorted(r["attention"]["setup"])
    size = len(names) + len(setup)
    rows = [[float(Fraction(r["items"][n]["minutes"])) for n in names]
            + [float(r["attention"]["setup"][s]) for s in setup]]  # fmt: skip
    upper = [float(minutes)]
    for i, name in enumerate(names):
        before = [names.index(other) for other in r["items"][name]["needs"]]
        if r["items"][name]["stage"] in setup:
            before.append(len(names) + setup.index(r["items"][name]["stage"]))
        for j in before:
            row = [0.0] * size
            row[i], row[j] = 1.0, -1.0
            rows.append(row)
            upper.append(0.0)
    cost = numpy.array([-values[n] for n in names] + [0] * len(setup))
    found = milp(
        cost,
        constraints=LinearConstraint(numpy.array(rows), -numpy.inf, numpy.array(upper) + 1e-9),
        integrality=numpy.ones(size),
        bounds=Bounds(0, 1),
    )
    return round(-found.fun)


def planned(r: dict[str, Any], minutes: int) -> Any:
    order = sorted(r["items"])
    return what_next(order, dict.fromkeys(order, "open"), r, [], str(minutes))


def check_plan(r: dict[str, Any], plan: Any, minutes: int) -> int:
    """That a plan keeps its promises; its worth."""
    chosen = tuple(row["item"] for row in plan["items"])
    assert list(chosen) == sorted(chosen)
    for name in chosen:
        assert set(r["items"][name]["needs"]) <= set(chosen)
    assert minutes_of(r, chosen) == Fraction(plan["total_minutes"])
    assert minutes_of(r, chosen) <= minutes
    values = worths(r)
    return sum(values[name] for name in chosen)


@settings(max_examples=60)
@given(st.integers(0, 2**32), st.integers(1, 9), st.integers(0, 12), st.integers(0, 3))
def test_the_plan_is_the_best_there_is(seed: int, count: int, minutes: int, needs: int) -> None:
    r = rules(
        random_items(random.Random(seed), count, needs), attention={"setup": {"underneath": "2"}}
    )
    plan = planned(r, minutes)
    found = check_plan(r, plan, minutes)
    assert plan["proven"]
    assert found == by_brute_force(r, minutes)


@settings(max_examples=20)
@given(st.integers(0, 2**32), st.integers(5, 40))
def test_the_plan_for_a_whole_visit_is_that_of_integer_programming(seed: int, minutes: int) -> None:
    r = rules(random_items(random.Random(seed), 60, 1), attention={"setup": {"underneath": "4"}})
    plan = planned(r, minutes)
    assert plan["proven"]
    assert check_plan(r, plan, minutes) == by_integer_programming(r, minutes)


def test_too_many_tangled_prerequisites_give_a_sound_plan_not_called_proven(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(knapsack, "MOST_CASES", 4)
    unproven = 0
    for seed in range(20):
        r = rules(random_items(random.Random(seed), 40, 4), attention={"setup": {"outside": "3"}})
        plan = planned(r, 12)
        unproven += not plan["proven"]
        check_plan(r, plan, 12)
    assert unproven


def test_a_ring_of_prerequisites_does_not_hang_it() -> None:
    r = rules({"a.1": item(needs=["a.2"]), "a.2": item(needs=["a.1"])}, attention={"setup": {}})
    assert planned(r, 10)["open"] == 2


def test_what_needs_something_nobody_can_look_at_is_not_proposed() -> None:
    r = rules({"a.1": item(danger=1), "a.2": item(needs=["a.1"], danger=5)})
    states = {"a.1": "uninspected", "a.2": "open"}
    assert what_next(["a.1", "a.2"], states, r, [], "10")["items"] == []
    states = {"a.1": "done", "a.2": "open"}
    assert [row["item"] for row in what_next(["a.1", "a.2"], states, r, [], "10")["items"]] == [
        "a.2"
    ]


def test_worth_is_expected_cost_by_weight_and_danger() -> None:
    """By hand: 0.5 x (100 + 4 x 200 + 300) / 6 = 100; times 5 / 2; plus 3 x 150."""
    rule = item(unseen={"chance": "0.5", "cost": [100, 200, 300]}, danger=3, weight={"track": 5})
    assert worth(rule, {}, ["track"]) == 100 * (100 * 5 // 2 + 450)
    assert worth(rule, {"attention": {"danger_worth": 10}}, []) == 100 * (100 + 30)


def test_the_plan_says_what_it_is() -> None:
    r = rules({"a.1": item(title="Sill", danger=1), "a.2": item(danger=1, minutes="30")})
    plan = planned(r, 5)
    [check] = plan["items"]
    assert (check["item"], check["minutes"], check["worth"]) == ("a.1", "1", 150)
    assert said(check["said"], r) == "Sill, 1 min"
    assert said(plan["said"], r) == "In 5 min: one of the 2 open checks, 1 min in all."


def test_what_wants_a_cold_engine_is_not_offered_once_it_has_run() -> None:
    r = rules(
        {
            "a.cap": item(title="Cap", stage="cold", cold=True, danger=3),
            "a.lead": item(title="Lead", stage="cold", danger=3),
            "a.start": item(stage="start", danger=3),
            "a.test": item(stage="cold", danger=3, needs=["a.cap"]),
        }
    )
    order = sorted(r["items"])
    before = what_next(order, dict.fromkeys(order, "open"), r, [], "10")
    assert [row["item"] for row in before["items"]] == ["a.cap", "a.lead", "a.start", "a.test"]
    assert before["left_out"] == []
    unseen = {**dict.fromkeys(order, "open"), "a.start": "uninspected"}
    assert "a.cap" in [row["item"] for row in what_next(order, unseen, r, [], "10")["items"]]
    after = what_next(order, {**dict.fromkeys(order, "open"), "a.start": "done"}, r, [], "10")
    assert [row["item"] for row in after["items"]] == ["a.lead"]
    assert after["left_out"] == [{"item": "a.cap", "said": {"id": "judge-left-out-warm"}}]
    assert said(after["said"], r) == (
        "In 10 min: one of the 3 open checks, 1 min in all. "
        "The engine has run: one check that needs it cold is left out."
    )


def chain() -> dict[str, Any]:
    """A leak to look for before the start, the start, an idle that needs it, a road, a door."""
    return rules(
        {
            "a.leak": item(danger=1, title="Fuel leaks"),
            "a.start": item(danger=1, title="Cold start", stage="start", needs=["a.leak"]),
            "a.idle": item(danger=1, title="Idle", stage="warm", needs=["a.start"]),
            "a.gears": item(danger=1, title="Gears", stage="road"),
            "a.lift": item(danger=1, title="Bearing", stage="underneath", stopped_by=["a.sill"]),
            "a.sill": item(danger=1, title="Sill"),
            "b.door": item(danger=1, title="Door"),
        }
    )


def test_nothing_that_rests_on_a_dangerous_finding_is_offered() -> None:
    # common practice, no source: no start beside leaking fuel, no road with any danger
    r = chain()
    order = list(r["items"])
    states = {**dict.fromkeys(order, "open"), "a.leak": "dangerous"}
    plan = what_next(order, states, r, [], "30")
    assert [row["item"] for row in plan["items"]] == ["a.lift", "a.sill", "b.door"]
    assert [row["item"] for row in plan["left_out"]] == ["a.start", "a.idle", "a.gears"]
    assert {said(row["said"], r) for row in plan["left_out"]} == {
        "Not until this is fixed: Fuel leaks. It's unsafe."
    }
    assert said(plan["said"], r).endswith("3 checks wait until this is safe: Fuel leaks.")
    sound = what_next(order, {**states, "a.leak": "done"}, r, [], "30")
    assert [row["item"] for row in sound["items"]] == order[1:]
    assert sound["left_out"] == []


def test_what_may_not_be_done_beside_a_danger_waits_for_no_look_at_it() -> None:
    # common practice, no source: nobody lifts a car on a sill that gave way
    r = chain()
    order = ["a.lift", "a.sill"]
    states = dict.fromkeys(order, "open")
    plan = what_next(order, states, r, [], "1")
    assert [row["item"] for row in plan["items"]] == ["a.lift"]
    soft = what_next(order, {**states, "a.sill": "dangerous"}, r, [], "1")
    assert [row["item"] for row in soft["left_out"]] == ["a.lift"]


def test_a_danger_elsewhere_stops_the_road_and_nothing_else() -> None:
    r = chain()
    order = list(r["items"])
    states = {**dict.fromkeys(order, "open"), "b.door": "dangerous"}
    plan = what_next(order, states, r, [], "30")
    offered = [row["item"] for row in plan["items"]]
    assert offered == ["a.leak", "a.start", "a.idle", "a.lift", "a.sill"]
    assert [row["item"] for row in plan["left_out"]] == ["a.gears"]


def test_an_assessment_offers_no_drive_once_something_is_dangerous() -> None:
    r = chain()
    offered = [row["item"] for row in assessed(r, {})["next"]["items"]]
    assert "a.gears" in offered
    got = assessed(r, {"a.leak": "dangerous"})
    assert {row["item"] for row in got["next"]["items"]} == {"a.lift", "a.sill", "b.door"}
    assert got["drive_home"]["answer"] == "trailer"


def test_coverage_weighs_what_matters_and_is_never_rounded_up() -> None:
    """By hand: weights 2 + danger; done 2 + 5 of 2 + 5 + 2 + 0 + 2 + 1 = 7 of 12."""
    r = rules({"a.1": item("a", danger=5), "a.2": item("a"), "b.1": item("b", danger=1)})
    got = assessed(r, {"a.1": "none", "a.2": ("uninspected", "locked")})["coverage"]
    assert got["share_percent"] == 58
    assert got["by_area"] == {"a": 77, "b": 0}
    assert [(row["item"], said(row["said"], r)) for row in got["not_reached"]] == [
        ("a.2", "Not checked: locked."),
        ("b.1", "Not reached."),
    ]
    assert said(got["said"], r) == "1 of 3 checks done: 58% of what matters."


@pytest.mark.parametrize(("done", "share"), [(0, 0), (199, 99), (200, 100)])
def test_only_all_of_it_is_a_hundred_percent(done: int, share: int) -> None:
    names = [f"a.{n:03d}" for n in range(200)]
    r = rules({name: item() for name in names})
    got = assessed(r, dict.fromkeys(names[:done], "none"))["coverage"]
    assert got["share_percent"] == share
