"""The plan: the cheapest covering set, tip-over, order of work and its spread over budgets.

Oracles: scipy.optimize.milp for the set cover, scipy.stats.binom for the chance of tipping,
networkx for the order. The worked figures are hand calculations, shown beside them.
"""

from __future__ import annotations

import itertools
import random
from typing import Any

import networkx
import numpy
import scipy  # its parts come, a second of work, with the first test that names one
from hypothesis import given, settings
from hypothesis import strategies as st

from bradawl.judge.costs import plan
from tests.amount import amount

WORST_FIRST = ("dangerous", "major", "minor", "none")

COSTS = st.tuples(st.integers(0, 400), st.integers(0, 400), st.integers(0, 400)).map(
    lambda three: sorted(three)
)


@st.composite
def shops(draw: st.DrawFn) -> tuple[list[str], list[dict[str, Any]]]:
    """Findings, and remedies that cover one or several of them."""
    findings = [f"item.f{n}" for n in range(draw(st.integers(1, 9)))]
    remedies = [
        {
            "id": f"r{n:02d}",
            "covers": draw(st.lists(st.sampled_from(findings), min_size=1, max_size=5)),
            "cost": draw(COSTS),
        }
        for n in range(draw(st.integers(1, 14)))
    ]
    return findings, remedies


def milp_optimum(findings: list[str], remedies: list[dict[str, Any]]) -> int:
    """The least cost in sixths by scipy's mixed-integer solver."""
    matrix = numpy.array([[f in r["covers"] for r in remedies] for f in findings], dtype=float)
    result = scipy.optimize.milp(
        c=[plan.sixths(r["cost"]) for r in remedies],
        constraints=scipy.optimize.LinearConstraint(matrix, lb=1),
        integrality=numpy.ones(len(remedies)),
        bounds=scipy.optimize.Bounds(0, 1),
    )
    assert result.success
    return round(result.fun)


@given(shops())
@settings(max_examples=amount(300, short=60), deadline=None, derandomize=True)
def test_the_cheapest_set_costs_what_the_integer_programme_says(
    shop: tuple[list[str], list[dict[str, Any]]],
) -> None:
    findings, remedies = shop
    answer = plan.cheapest(findings, remedies)
    coverable = [f for f in findings if any(f in r["covers"] for r in remedies)]
    assert answer["uncovered"] == sorted(set(findings) - set(coverable))
    assert answer["proven"]
    chosen = [r for r in remedies if r["id"] in answer["chosen"]]
    assert set(coverable) <= {f for r in chosen for f in r["covers"]}
    assert sum(plan.sixths(r["cost"]) for r in chosen) == answer["sixths"]
    assert answer["sixths"] == milp_optimum(coverable, remedies)


@given(shops(), st.randoms(use_true_random=False))
@settings(max_examples=60, deadline=None, derandomize=True)
def test_the_order_in_which_things_are_listed_changes_nothing(
    shop: tuple[list[str], list[dict[str, Any]]], random: Any
) -> None:
    findings, remedies = shop
    mixed_findings, mixed = list(findings), list(remedies)
    random.shuffle(mixed_findings)
    random.shuffle(mixed)
    assert plan.cheapest(findings, remedies) == plan.cheapest(mixed_findings, mixed)


def test_forty_findings_under_three_assemblies_are_proven() -> None:
    # The size of a real car: each finding has its own mending, three harnesses each cover a third.
    findings = [f"item.f{n:02d}" for n in range(40)]
    remedies: list[dict[str, Any]] = [
        {"id": f"mend-{n:02d}", "covers": [f], "cost": [20, 30 + n, 60 + n]}
        for n, f in enumerate(findings)
    ]
    remedies += [
        {"id": f"whole-{k}", "covers": findings[k * 10 : k * 10 + 18], "cost": [300, 500, 900]}
        for k in range(3)
    ]
    answer = plan.cheapest(findings, remedies)
    assert answer["proven"]
    assert answer["sixths"] == milp_optimum(findings, remedies)


def test_price_adds_labour_half_up_and_lost_originality() -> None:
    # by hand: 25 + 0.7 h × 55 = 63.5 → 64; 50 + 1 × 55 = 105; 120 + 2.5 × 55 = 257.5 → 258; + 40
    assert plan.price([25, 50, 120], ["0.7", "1", "2,5"], 55, 40) == [104, 145, 298]


def test_loss_of_originality_can_keep_the_old_harness() -> None:
    findings = ["e.a", "e.b"]
    mend = [
        {"id": "a", "covers": ["e.a"], "cost": [100, 100, 100]},
        {"id": "b", "covers": ["e.b"], "cost": [100, 100, 100]},
    ]
    without = {"id": "whole", "covers": findings, "cost": plan.price([180] * 3, ["0"] * 3, 0, 0)}
    counted = {"id": "whole", "covers": findings, "cost": plan.price([180] * 3, ["0"] * 3, 0, 50)}
    assert plan.cheapest(findings, [*mend, without])["chosen"] == ["whole"]
    assert plan.cheapest(findings, [*mend, counted])["chosen"] == ["a", "b"]


def test_the_tipping_point_worked_by_hand() -> None:
    # Assembly 500, three plugs mended for 150, ten more plugs at 50 each: the gap is 350.
    # 7 × 50 = 350 only equals it, so the eighth failure tips; 350 / 500 = 70.0 % each.
    answer = plan.tip_over(
        [500] * 3, [150] * 3, [{"cost": [50] * 3, "count": 10, "chance_percent": 20}]
    )
    assert answer["gap"] == 350
    assert answer["now"] == "mend"
    assert answer["with_chances"] == "mend"
    assert (answer["failures_at_least"], answer["failures_at_most"]) == (8, 8)
    assert answer["chance_percent"] == "70.0"
    assert answer["expected_mending"] == 250  # 150 + 10 × 0.2 × 50
    assert answer["by_chance"][0] == [0, 150]
    assert answer["by_chance"][-1] == [100, 650]
    assert answer["by_count"][8] == [8, 550, 550]


def test_dear_pieces_tip_earlier_than_cheap_ones() -> None:
    # Gap 100; pieces of 60, 60, 30, 30, 30: 60+60 exceeds it with two, 30+30+30+60 needs four.
    answer = plan.tip_over(
        [200] * 3,
        [100] * 3,
        [
            {"cost": [60] * 3, "count": 2, "chance_percent": 0},
            {"cost": [30] * 3, "count": 3, "chance_percent": 0},
        ],
    )
    assert (answer["failures_at_least"], answer["failures_at_most"]) == (2, 4)
    assert answer["tips_percent"] == 0


def test_an_assembly_that_is_cheaper_today_needs_no_further_failure() -> None:
    answer = plan.tip_over([100] * 3, [140] * 3, [])
    assert answer["now"] == "assembly"
    assert answer["failures_at_least"] == 0
    assert answer["chance_percent"] == "0"
    assert answer["tips_percent"] == 100


def test_an_assembly_that_no_failures_can_pay_says_so() -> None:
    answer = plan.tip_over(
        [900] * 3, [100] * 3, [{"cost": [50] * 3, "count": 4, "chance_percent": 90}]
    )
    assert answer["failures_at_least"] is None
    assert answer["chance_percent"] is None


@given(st.integers(1, 25), st.integers(0, 100), st.integers(0, 1500))
@settings(max_examples=150, deadline=None, derandomize=True)
def test_the_probability_of_tipping_is_the_binomial_tail(n: int, percent: int, gap: int) -> None:
    # Alike pieces of 50: mending comes out dearer when more than gap / 50 of them fail.
    answer = plan.tip_over(
        [gap] * 3, [0] * 3, [{"cost": [50] * 3, "count": n, "chance_percent": percent}]
    )
    tail = float(scipy.stats.binom.sf(gap // 50, n, percent / 100)) * 100
    assert abs(answer["tips_percent"] - tail) <= 0.5 + 1e-6


@given(
    st.integers(0, 60),
    st.integers(0, 500),
    st.lists(st.tuples(st.integers(1, 90), st.integers(0, 100)), max_size=8),
)
@settings(max_examples=100, deadline=None, derandomize=True)
def test_the_probability_of_tipping_is_that_of_all_outcomes(
    mending: int, assembly: int, pieces: list[tuple[int, int]]
) -> None:
    further = [{"cost": [c] * 3, "count": 1, "chance_percent": p} for c, p in pieces]
    chance = 0.0
    for fails in itertools.product((False, True), repeat=len(pieces)):
        weight, cost = 1.0, mending
        for failed, (piece, percent) in zip(fails, pieces, strict=True):
            weight *= percent / 100 if failed else 1 - percent / 100
            cost += piece if failed else 0
        chance += weight if cost > assembly else 0.0
    answer = plan.tip_over([assembly] * 3, [mending] * 3, further)
    assert abs(answer["tips_percent"] - 100 * chance) <= 0.5 + 1e-6


def test_the_probability_of_tipping_of_very_many_sums_is_good_to_a_per_cent() -> None:
    # Thirteen pieces whose mean is 1, 2, 4 … 4096 sixths, each as likely to fail as not: every sum
    # from 0 to 8191 sixths is as likely as any other.
    further = [{"cost": [0, 0, 2**n], "count": 1, "chance_percent": 50} for n in range(13)]
    answer = plan.tip_over([1000] * 3, [0] * 3, further)
    assert abs(answer["tips_percent"] - 100 * 2191 / 8192) <= 1


@st.composite
def workshops(draw: st.DrawFn) -> list[dict[str, Any]]:
    """Jobs whose prerequisites run from later to earlier ones, so never in a ring."""
    names = draw(st.permutations([f"j{n:02d}" for n in range(draw(st.integers(1, 10)))]))
    return [
        {
            "id": name,
            "class": draw(st.sampled_from(plan.CLASSES)),
            "grade": draw(st.sampled_from(WORST_FIRST)),
            "after": draw(st.lists(st.sampled_from(names[:n]), max_size=3)) if n else [],
            "cost": draw(st.integers(0, 300)),
        }
        for n, name in enumerate(names)
    ]


def graph_of(jobs: list[dict[str, Any]]) -> networkx.DiGraph[str]:
    graph: networkx.DiGraph[str] = networkx.DiGraph()
    graph.add_nodes_from(job["id"] for job in jobs)
    graph.add_edges_from((before, job["id"]) for job in jobs for before in job["after"])
    return graph


@given(workshops())
@settings(max_examples=200, deadline=None, derandomize=True)
def test_the_order_is_networkx_s_topological_order_by_urgency(jobs: list[dict[str, Any]]) -> None:
    by_id = {job["id"]: job for job in jobs}
    graph = graph_of(jobs)

    def key(name: str) -> tuple[Any, ...]:
        ranks = [
            plan.CLASSES.index(by_id[one]["class"])
            for one in {name, *networkx.descendants(graph, name)}
        ]
        job = by_id[name]
        return (
            min(ranks),
            plan.CLASSES.index(job["class"]),
            WORST_FIRST.index(job["grade"]),
            job["cost"],
            name,
        )

    expected = list(networkx.lexicographical_topological_sort(graph, key=key))
    answer = plan.order(jobs)
    assert answer["order"] == expected
    assert answer["cycle"] == []


@given(workshops(), st.data())
@settings(max_examples=100, deadline=None, derandomize=True)
def test_jobs_that_wait_for_one_another_are_named_as_a_ring(
    jobs: list[dict[str, Any]], data: st.DataObject
) -> None:
    first = data.draw(st.sampled_from(jobs))
    last = data.draw(st.sampled_from(jobs))
    first["after"] = [*first["after"], last["id"]]
    graph = graph_of(jobs)
    answer = plan.order(jobs)
    if networkx.is_directed_acyclic_graph(graph):
        assert answer["cycle"] == []
    else:
        ring = answer["cycle"]
        assert ring
        waits_for = [*ring[1:], ring[0]]
        assert all(graph.has_edge(b, a) for a, b in zip(ring, waits_for, strict=True))
    assert sorted(answer["order"]) == sorted(job["id"] for job in jobs)


def test_what_danger_waits_for_comes_first_and_says_why() -> None:
    jobs = [
        {"id": "paint", "class": "looks", "grade": "minor", "after": [], "cost": 10},
        {"id": "brakes", "class": "danger", "grade": "dangerous", "after": ["bleed"], "cost": 100},
        {"id": "bleed", "class": "comfort", "grade": "minor", "after": [], "cost": 20},
        {"id": "cooling", "class": "reliability", "grade": "major", "after": ["ghost"], "cost": 50},
    ]
    answer = plan.order(jobs)
    assert answer["order"] == ["bleed", "brakes", "cooling", "paint"]
    assert answer["pulled"] == {"bleed": "brakes"}
    assert answer["unknown"] == ["ghost"]


def test_a_cheap_late_job_is_paid_early_only_if_it_delays_nothing() -> None:
    def job(name: str, cost: int, after: list[str] | None = None) -> dict[str, Any]:
        return {"id": name, "cost": cost, "after": after or []}

    # 100 a month: the brakes for 150 wait for month two; 50 are then free already in month one.
    answer = plan.spread([job("brakes", 150), job("trim", 50), job("radio", 10)], [100, 100])
    assert answer["period"] == {"brakes": 1, "trim": 0}
    assert answer["left"] == ["radio"]
    assert answer["short"] == 10
    assert answer["spent"] == [50, 150]
    assert answer["carried"] == [50, 0]
    # what waits for a job that nobody can pay is not done before it
    answer = plan.spread([job("engine", 900), job("mixture", 10, ["engine"])], [100])
    assert answer["left"] == ["engine", "mixture"]
    assert answer["short"] == 810


@given(workshops(), st.lists(st.integers(0, 400), min_size=1, max_size=5))
@settings(max_examples=150, deadline=None, derandomize=True)
def test_no_period_spends_what_is_not_there_and_nothing_comes_before_what_it_waits_for(
    jobs: list[dict[str, Any]], budgets: list[int]
) -> None:
    by_id = {job["id"]: job for job in jobs}
    ordered = [by_id[name] for name in plan.order(jobs)["order"]]
    answer = plan.spread(ordered, budgets)
    assert all(rest >= 0 for rest in answer["carried"])
    for name, period in answer["period"].items():
        for before in by_id[name]["after"]:
            assert answer["period"][before] <= period
    # taking the last job away moves no other: nobody was delayed for it
    fewer = plan.spread(ordered[:-1], budgets)
    assert all(answer["period"][name] == period for name, period in fewer["period"].items())


@st.composite
def two_budgets(draw: Any, most: int = 5) -> tuple[list[dict[str, Any]], list[int], list[int]]:
    """Jobs in their order with money and hours, and periods that have some of both."""
    count = draw(st.integers(1, most))
    jobs = [
        {
            "id": f"j{n}", "cost": draw(st.integers(0, 400)), "hours": draw(st.integers(0, 900)),
            "after": [f"j{draw(st.integers(0, n - 1))}"] if n and draw(st.booleans()) else [],
        }
        for n in range(count)
    ]  # fmt: skip
    periods = draw(st.integers(1, 3))
    money = draw(st.lists(st.integers(0, 300), min_size=periods, max_size=periods))
    hours = draw(st.lists(st.integers(0, 700), min_size=periods, max_size=periods))
    return jobs, money, hours


@given(two_budgets())
@settings(max_examples=150, deadline=None, derandomize=True)
def test_no_way_to_spread_does_an_earlier_job_sooner(world: Any) -> None:
    """Every way tried: the best does the first job soonest, then the second, and so on."""
    jobs, money, hours = world
    never = len(money)

    def fits(way: tuple[int, ...]) -> bool:
        when = dict(zip([job["id"] for job in jobs], way, strict=True))
        return all(
            when[job["id"]] == never or all(when[one] <= when[job["id"]] < never and
                                            when[one] < never for one in job["after"])
            for job in jobs
        ) and all(
            sum(job[key] for job, n in zip(jobs, way, strict=True) if n <= period)
            <= sum(budget[: period + 1])
            for key, budget in (("cost", money), ("hours", hours))
            for period in range(never)
        )  # fmt: skip

    best = min(filter(fits, itertools.product(range(never + 1), repeat=len(jobs))))
    period = plan.spread(jobs, money, hours)["period"]  # type: ignore[arg-type]
    assert tuple(period.get(job["id"], never) for job in jobs) == best


def soonest(jobs: list[dict[str, Any]], money: list[int], hours: list[int]) -> list[int]:
    """The same by an integer program: x[j, p] says that job j is done in period p."""
    size, last = len(jobs), len(money)
    when: list[int] = []
    for n in range(size):
        goal = numpy.zeros((size, last))
        goal[n] = numpy.arange(last) - last  # not at all is the worst
        rows, low, high = [], [], []

        def bound(row: Any, least: float, most: float) -> None:
            rows.append(row.ravel())  # noqa: B023
            low.append(least)  # noqa: B023
            high.append(most)  # noqa: B023

        for m in range(size):
            one = numpy.zeros((size, last))
            one[m] = 1
            bound(one, 0, 1)
            if m < n:
                done = numpy.zeros((size, last))
                done[m] = numpy.arange(last) - last
                bound(done, when[m] - last, when[m] - last)
            for other in [k for k in range(m) if jobs[k]["id"] in jobs[m]["after"]]:
                for p in range(last):  # by p only where the other is by p
                    by = numpy.zeros((size, last))
                    by[other, : p + 1], by[m, : p + 1] = 1, -1
                    bound(by, 0, numpy.inf)
        for key, budget in (("cost", money), ("hours", hours)):
            for p in range(last):
                spent = numpy.zeros((size, last))
                spent[:, : p + 1] = numpy.array([[job[key]] for job in jobs])
                bound(spent, -numpy.inf, sum(budget[: p + 1]))
        found = scipy.optimize.milp(
            goal.ravel(),
            integrality=numpy.ones(size * last),
            bounds=scipy.optimize.Bounds(0, 1),
            constraints=scipy.optimize.LinearConstraint(numpy.array(rows), low, high),
        )
        assert found.success
        when.append(last + round(found.fun))
    return when


def test_the_integer_program_with_two_budgets_does_nothing_sooner() -> None:
    for seed in range(12):
        dice = random.Random(seed)
        jobs = [
            {
                "id": f"j{n}", "cost": dice.randint(0, 900), "hours": dice.randint(0, 2500),
                "after": [f"j{dice.randrange(n)}"] if n and dice.random() < 0.3 else [],
            }
            for n in range(8)
        ]  # fmt: skip
        money = [dice.randint(0, 700) for _ in range(4)]
        hours = [dice.choice([600, 1733])] * 4
        period = plan.spread(jobs, money, hours)["period"]  # type: ignore[arg-type]
        assert [period.get(job["id"], 4) for job in jobs] == soonest(jobs, money, hours), seed


def test_a_job_too_large_for_the_months_pushes_no_other_out() -> None:
    """By hand: 1,200 never comes together in 3 x 300; 250 and 40 are done in the first month."""
    jobs = [
        {"id": "body", "cost": 1200, "after": []},
        {"id": "hose", "cost": 250, "after": []},
        {"id": "lamp", "cost": 40, "after": []},
        {"id": "paint", "cost": 10, "after": ["body"]},
    ]
    found = plan.spread(jobs, [300] * 3)  # type: ignore[arg-type]
    assert (found["period"], found["left"]) == ({"hose": 0, "lamp": 0}, ["body", "paint"])
    assert found["short"] == 1210 - (900 - 290)


def test_what_the_car_may_be_used_for_is_conservative() -> None:
    def finding(grade: str, drive: str = "no", danger: int = 0, **weight: int) -> dict[str, Any]:
        return {
            "item": f"x.{grade}-{drive}",
            "grade": grade,
            "drive": drive,
            "danger": danger,
            "weight": weight,
        }

    uses = ["everyday", "long_trips"]
    assert plan.fit_for([finding("dangerous")], uses)["road"] == "off"
    assert plan.fit_for([finding("uninspected", "essential")], uses)["road"] == "off"
    assert plan.fit_for([finding("major", "essential")], uses)["road"] == "workshop"
    assert plan.fit_for([finding("major", danger=4)], uses)["road"] == "workshop"
    answer = plan.fit_for([finding("major", long_trips=4), finding("minor", "essential")], uses)
    assert answer == {
        "road": "open",
        "because": [],
        "uses": ["everyday"],
        "barred": {"long_trips": ["x.major-no"]},
    }
    assert plan.fit_for([], uses)["uses"] == uses
