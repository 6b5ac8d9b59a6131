"""The laws of the price, on random small checklists: what is fine never costs, what is wrong does.

The price is a function of what is known of the car. A check that comes out fine never lowers the
top price, a fault never raises it; the order of the checks and how thorough the visit was declared
are no matter; what the price could at best become is a true bound. The charge itself is compared
with a brute force over every set of offers, written here in fractions from the model's own
sentences: fine 0; unseen chance x (low + 4 likely + high) / 6, once for items that see the same
damage; an offer costs at least what is held for all that it renews.
"""

from __future__ import annotations

import itertools
import json
from fractions import Fraction
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bradawl.judge import assess
from tests.amount import amount
from tests.judge.conftest import Ask
from tests.judge.records import TODAY, item, record, rules

VALUE = 100_000  # above any charge, so that no price ends at nothing
TOLD = {"brief_value_good": VALUE, "brief_margin": 0, "about_asking_price": VALUE}
FAULTS = ["minor", "major", "dangerous"]
RECENT = {"choice": "documented", "readings/done_on/one": {"typed": "2026-10-01", "unit": ""}}
CLAIMED = {"choice": "claimed"}
STATES: list[Any] = [None, "none", *FAULTS, ("uninspected", "dark")]
COST = st.lists(st.integers(0, 60), min_size=3, max_size=3).map(sorted)
Seen = dict[str, Any]


@st.composite
def worlds(draw: st.DrawFn) -> dict[str, Any]:
    """A checklist of up to five items, two of which may be maintenance."""
    names = [f"a.{n}" for n in range(draw(st.integers(2, 5)))]
    items: dict[str, Any] = {}
    ids = []
    for name in names:
        remedies = []
        for n in range(draw(st.integers(0, 2))):
            first = draw(st.integers(0, 2))
            also = draw(st.lists(st.sampled_from(names), max_size=2, unique=True))
            parts = [cost * 3 for cost in draw(COST)]
            remedies.append(
                {"id": f"r{n}", "kind": "part", "title": "R", "parts": parts, "hours": ["0"] * 3,
                 "for": FAULTS[first:], "need": draw(st.sampled_from([True, True, False])),
                 "also": [other for other in also if other != name]}
            )  # fmt: skip
            ids.append(f"{name}/r{n}")
        unseen = {"chance": f"0.{draw(st.integers(1, 9))}", "cost": draw(COST)}
        items[name] = item(remedies=remedies, unseen=unseen)
        group = draw(st.sampled_from([None, None, "one", "two"]))
        if group:
            items[name]["hold_group"] = group
        if draw(st.booleans()):
            items[name]["depth"] = "thorough"
    baseline = []
    for n in range(draw(st.integers(0, 2))):
        name = f"upkeep.{n}"
        items[name] = upkeep_item(draw)
        baseline.append(
            {"id": f"b{n}", "title": "B", "item": name, "years": "1", "source": "assumption",
             "parts": draw(COST), "hours": ["0"] * 3,
             "also": draw(st.lists(st.sampled_from(names), max_size=2, unique=True)),
             "done_by": draw(st.lists(st.sampled_from(ids or [""]), max_size=2, unique=True))}
        )  # fmt: skip
    return rules(items, baseline=baseline)


def of_a_gauge(world: dict[str, Any], name: str) -> dict[str, Any]:
    """The checklist with a choice at an item that says "dangerous" as a gauge would."""
    changed = {**world["items"][name], "choices": [{"id": "bad", "grade": "dangerous"}]}
    return {**world, "items": {**world["items"], name: changed}}


def upkeep_item(draw: st.DrawFn) -> dict[str, Any]:
    made = item(
        choices=[{"id": "documented", "grade": "none"}, {"id": "claimed", "grade": "minor"}],
        readings=[{"id": "done_on", "quantity": "date", "units": []}],
        compute={"kind": "interval"},
        unseen={"chance": f"0.{draw(st.integers(1, 9))}", "cost": draw(COST)},
    )
    if draw(st.booleans()):
        made["hold_group"] = "one"
    return made


def states_of(name: str) -> list[Any]:
    return [None, RECENT, CLAIMED] if name.startswith("upkeep") else STATES


def draw_seen(draw: Any, world: dict[str, Any]) -> Seen:
    return {name: draw(st.sampled_from(states_of(name))) for name in world["items"]}


def judged(world: dict[str, Any], seen: Seen, **told: Any) -> Any:
    given_states = {name: state for name, state in seen.items() if state is not None}
    return assess(record(given_states, **TOLD, **told), world, TODAY)


def charged(money: Any) -> int:
    """All that comes off what the car is worth, but for the margin."""
    total: int = money["totals"]["expected"] + money["reserve"]["amount"]
    return total


def is_fine(state: Any) -> bool:
    return bool(state == "none" or state is RECENT)


def is_fault(state: Any) -> bool:
    return state in FAULTS or state is CLAIMED


def check_laws(world: dict[str, Any], seen: Seen, name: str, answer: Any) -> None:
    """Every law, for the item `name` looked at while the rest is as it was seen."""
    seen = {**seen, name: None}
    before = answer(seen)
    for state in states_of(name):
        after = answer({**seen, name: state})
        if is_fine(state):
            assert charged(after) <= charged(before), (name, state)
        if is_fault(state):
            assert charged(after) >= charged(before), (name, state)
            assert after["price"]["bound"] <= before["price"]["bound"], (name, state)
        assert VALUE - charged(after) <= before["price"]["bound"]
        if after["price"]["walk_away"] is not None:
            assert after["price"]["walk_away"] == VALUE - charged(after)
            assert after["price"]["opening"] <= after["price"]["walk_away"]
            if sum(row["amount"] for row in after["price"]["arguments"]) > 0:
                assert after["price"]["opening"] < VALUE
    fine = {one: RECENT if one.startswith("upkeep") else "none" for one in seen}
    best = {one: state if is_fault(state) else fine[one] for one, state in seen.items()}
    assert answer(best)["price"]["bound"] == VALUE - charged(answer(best))
    assert answer(best)["price"]["bound"] <= before["price"]["bound"]


@given(worlds(), st.data())
@settings(
    max_examples=amount(400, short=60), deadline=None, suppress_health_check=list(HealthCheck)
)
def test_the_laws_hold_on_small_checklists(world: dict[str, Any], data: st.DataObject) -> None:
    seen = draw_seen(data.draw, world)
    name = data.draw(st.sampled_from(sorted(world["items"])))
    check_laws(world, seen, name, lambda state: judged(world, state)["money"])


@given(worlds(), st.data())
@settings(
    max_examples=amount(30, short=8),
    deadline=None,
    derandomize=True,
    suppress_health_check=list(HealthCheck),
)
def test_the_laws_hold_on_the_phone(both: Ask, world: dict[str, Any], data: st.DataObject) -> None:
    both({"ask": "load", "bundle": "world", "rules": world, "start": True})
    seen = draw_seen(data.draw, world)

    def answer(state: Seen) -> Any:
        given_states = {name: one for name, one in state.items() if one is not None}
        asked = {"ask": "assess", "bundle": "world", "today": TODAY}
        return both({**asked, **record(given_states, **TOLD)})["assessment"]["money"]

    check_laws(world, seen, data.draw(st.sampled_from(sorted(world["items"]))), answer)


@given(worlds(), st.data())
@settings(
    max_examples=amount(100, short=30), deadline=None, suppress_health_check=list(HealthCheck)
)
def test_quick_or_thorough_and_the_order_of_the_checks_are_no_matter(
    world: dict[str, Any], data: st.DataObject
) -> None:
    seen = draw_seen(data.draw, world)
    quick = judged(world, seen)["money"]
    assert judged(world, seen, about_depth="thorough")["money"] == quick
    turned = dict(data.draw(st.permutations(sorted(seen.items()))))
    assert json.dumps(judged(world, turned)["money"]) == json.dumps(quick)


@given(worlds(), st.data())
@settings(max_examples=150, deadline=None, suppress_health_check=list(HealthCheck))
def test_a_measured_danger_that_somebody_calls_milder_keeps_its_charge(
    world: dict[str, Any], data: st.DataObject
) -> None:
    """A word with a reason mends nothing: neither the top price nor what it could be rises."""
    name = data.draw(st.sampled_from([one for one in world["items"] if one.startswith("a.")]))
    other = data.draw(st.sampled_from([one for one in world["items"] if one.startswith("a.")]))
    world = of_a_gauge(of_a_gauge(world, name), other)
    seen = draw_seen(data.draw, world)
    if data.draw(st.booleans()) and other != name:
        seen[other] = {"choice": "bad"}
    before = judged(world, {**seen, name: {"choice": "bad"}})["money"]
    for milder in ("none", "minor", "major"):
        said = {"choice": "bad", "grade": {"grade": milder}, "why": "looks fine"}
        after = judged(world, {**seen, name: said})["money"]
        assert charged(after) >= charged(before), milder
        assert after["price"]["bound"] <= before["price"]["bound"], milder
        assert VALUE - charged(after) <= after["price"]["bound"]
        assert after["reserve"]["amount"] >= 0


# ---- the charge by brute force -------------------------------------------------------------


def mean(cost: list[int]) -> Fraction:
    return Fraction(cost[0] + 4 * cost[1] + cost[2], 6)


def brute_force(world: dict[str, Any], seen: Seen) -> Fraction:
    """The least over all sets of offers; nothing here is taken from the judge."""
    grade = {
        name: state if state in FAULTS else "minor" if state is CLAIMED else None
        for name, state in seen.items()
    }
    unit_of = {name: rule.get("hold_group", name) for name, rule in world["items"].items()}
    held: dict[str, Fraction] = {}
    for name, rule in world["items"].items():
        if not is_fine(seen[name]):
            amount = Fraction(rule["unseen"]["chance"]) * mean(rule["unseen"]["cost"])
            held[unit_of[name]] = max(amount, held.get(unit_of[name], Fraction(0)))
    rows = world["baseline"]
    due = {f"baseline/{row['id']}" for row in rows if not is_fine(seen[row["item"]])}
    offers: list[tuple[Fraction, set[str], set[str]]] = []  # cost, musts covered, items renewed
    musts = set(due)
    for name, rule in world["items"].items():
        fitting = [r for r in rule.get("remedies", []) if grade[name] in r["for"]]
        if not fitting and grade[name] == "dangerous":
            fitting = rule.get("remedies", [])
        if grade[name] and (
            not fitting or grade[name] == "dangerous" or any(r["need"] for r in fitting)
        ):
            musts.add(name)
        for one in rule.get("remedies", []):
            own = {name} if one in fitting else set()
            # "dangerous" is in every `for` here, so a remedy puts right others of any grade
            others = {other for other in one["also"] if grade[other]} if one["need"] else set()
            served = [row for row in rows if f"{name}/{one['id']}" in row["done_by"]]
            does = {f"baseline/{row['id']}" for row in served} & due
            does |= {row["item"] for row in served if f"baseline/{row['id']}" in due}
            if not one["need"] and not (own and grade[name] == "dangerous"):
                continue
            renewed = {name, *one["also"], *(row["item"] for row in served)}
            offers.append((mean(one["parts"]), own | others | does, renewed))
    for row in rows:
        own_row = {f"baseline/{row['id']}", row["item"]}
        offers.append((mean(row["parts"]), own_row | set(row["also"]), {row["item"], *row["also"]}))
    possible = set().union(*(covered for _, covered, _ in offers)) if offers else set()
    useful = [offer for offer in offers if offer[1] & musts]
    best = None
    for size in range(len(useful) + 1):
        for chosen in itertools.combinations(useful, size):
            if not musts & possible <= set().union(*(covered for _, covered, _ in chosen)):
                continue
            touched: set[str] = set()
            total = Fraction(0)
            for cost, _, renewed in chosen:
                units = {unit_of[name] for name in renewed} & set(held)
                total += max(cost, sum((held[unit] for unit in units), Fraction(0)))
                touched |= units
            total += sum(
                (amount for unit, amount in held.items() if unit not in touched), Fraction(0)
            )
            best = total if best is None else min(best, total)
    assert best is not None
    return best


@given(worlds(), st.data())
@settings(
    max_examples=amount(300, short=60), deadline=None, suppress_health_check=list(HealthCheck)
)
def test_the_charge_is_the_least_that_a_brute_force_finds(
    world: dict[str, Any], data: st.DataObject
) -> None:
    seen = draw_seen(data.draw, world)
    least = brute_force(world, seen)
    found = charged(judged(world, seen)["money"])
    assert found == int(least + Fraction(1, 2)), (float(least), found)
