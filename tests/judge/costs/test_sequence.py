"""The order of jobs on two budgets is the best there is.

Oracles: every permutation of seven jobs or fewer; an integer program with both budgets
(scipy.optimize.milp). Single figures are worked out by hand.
"""

from __future__ import annotations

import itertools
import random
from typing import Any

import numpy
import scipy
from hypothesis import given, settings
from hypothesis import strategies as st

from bradawl.judge.costs.jobs import sequence

NO_BOUND: Any = {"months": [], "weekend_hundredths": 0}


def job(name: str, tier: int, weight: int, cost: int, hours: int = 0, *after: str) -> Any:
    return {
        "id": name, "tier": tier, "weight": weight, "cost": cost, "hours": hours,
        "after": list(after),
    }  # fmt: skip


@st.composite
def shops(draw: Any, most: int = 6) -> Any:
    names = [f"j{n}" for n in range(draw(st.integers(1, most)))]
    jobs = [
        job(
            name,
            draw(st.integers(0, 4)),
            draw(st.integers(1, 40)),
            draw(st.integers(0, 900)),
            draw(st.integers(0, 3000)),
            *draw(st.lists(st.sampled_from(names[:n] or [""]), max_size=1)),
        )
        for n, name in enumerate(names)
    ]
    pins = draw(st.dictionaries(st.sampled_from(names), st.integers(1, len(names)), max_size=2))
    months = draw(st.lists(st.integers(0, 600), max_size=3))
    weekend = draw(st.sampled_from([0, 400, 1200]))
    return jobs, pins, {"months": months, "weekend_hundredths": weekend}


def is_kept(order: Any) -> bool:
    names = [one["id"] for one in order]
    return all(
        other not in names[n:] for n, one in enumerate(order) for other in one["after"] if other
    )


@given(shop=shops())
@settings(max_examples=150, deadline=None, derandomize=True)
def test_no_permutation_is_better(shop: Any) -> None:
    jobs, pins, pace = shop
    found = sequence.best(jobs, pins, pace)
    by_id = {one["id"]: one for one in jobs}
    fixed = sequence.places(jobs, pins)
    ways = [
        way
        for way in itertools.permutations(jobs)
        if all(way[n]["id"] == name for n, name in fixed.items())
    ]
    kept = [way for way in ways if is_kept(way)] or ways
    ours = [by_id[name] for name in found["order"]]
    assert found["exact"]
    assert all(ours[n]["id"] == name for n, name in fixed.items())
    assert sequence.value(ours, pace) == min(sequence.value(list(way), pace) for way in kept)
    assert bool(found["early"]) == (not is_kept(ours))


def integer_program(jobs: Any, money: int, weekend: int) -> float:
    """The least sum of weight times month, with who is at which place as whole variables."""
    count = len(jobs)
    cost = numpy.array([one["cost"] / money for one in jobs])
    hours = numpy.array([one["hours"] * 12 / (weekend * 52) for one in jobs])
    latest = max(cost.sum(), hours.sum())
    # x[i, k]: job i at place k; t[k]: when place k is done; d[i]: when job i is done
    size = count * count + 2 * count
    goal = numpy.zeros(size)
    goal[-count:] = [one["weight"] for one in jobs]
    rows, low = [], []
    for k in range(count):
        for takes in (cost, hours):
            row = numpy.zeros(size)
            row[count * count + k] = 1
            for i in range(count):
                row[i * count : i * count + k + 1] = -takes[i]
            rows.append(row)
            low.append((k + 1) / 1000)  # a turn for each job
        for i in range(count):
            row = numpy.zeros(size)
            row[count * count + count + i] = 1
            row[count * count + k] = -1
            row[i * count + k] = -latest
            rows.append(row)
            low.append(-latest)
    ones = []
    for n in range(count):
        by_job, by_place = numpy.zeros(size), numpy.zeros(size)
        by_job[n * count : (n + 1) * count] = 1
        by_place[n : count * count : count] = 1
        ones += [by_job, by_place]
    whole = numpy.concatenate([numpy.ones(count * count), numpy.zeros(2 * count)])
    upper = numpy.where(whole == 1, 1, numpy.inf)
    found = scipy.optimize.milp(
        goal,
        integrality=whole,
        bounds=scipy.optimize.Bounds(0, upper),
        constraints=[
            scipy.optimize.LinearConstraint(numpy.array(rows), low, numpy.inf),
            scipy.optimize.LinearConstraint(numpy.array(ones), 1, 1),
        ],
    )
    assert found.success
    return float(found.fun)


def test_the_integer_program_with_two_budgets_finds_nothing_better() -> None:
    for seed in range(12):
        dice = random.Random(seed)
        jobs = [
            job(f"j{n}", 0, dice.randint(1, 9), dice.randint(20, 900), dice.randint(100, 3000))
            for n in range(6)
        ]
        money, weekend = dice.randint(200, 600), dice.choice([400, 800])
        pace: Any = {"months": [money], "weekend_hundredths": weekend}
        names = sequence.best(jobs, {}, pace)["order"]
        ours = sequence.value([next(j for j in jobs if j["id"] == name) for name in names], pace)
        weights = sum(one["weight"] for one in jobs)
        theirs = integer_program(jobs, money, weekend)
        # each moment is cut to a thousandth of a month
        assert -weights <= ours[0] - theirs * sequence.MONTH <= 0.01 * weights, seed


def test_looks_never_go_before_danger_and_a_pin_stays() -> None:
    jobs = [job("paint", 4, 40, 10), job("tires", 0, 1, 900), job("hose", 1, 4, 20)]
    pace: Any = {"months": [300], "weekend_hundredths": 0}
    assert sequence.best(jobs, {}, pace)["order"] == ["tires", "hose", "paint"]
    assert sequence.best(jobs, {"paint": 1}, pace)["order"] == ["paint", "tires", "hose"]


def test_what_costs_nothing_does_not_go_before_danger() -> None:
    jobs = [job("balance", 1, 8, 0), job("pads", 0, 40, 120), job("radio", 3, 2, 0)]
    for pace in ({"months": [150, 400], "weekend_hundredths": 0}, NO_BOUND):
        found = sequence.best(jobs, {}, pace)  # type: ignore[arg-type]
        assert found["order"] == ["pads", "balance", "radio"]


def test_the_moment_by_hand() -> None:
    """500 of 300 + 400: a month and half of the next. 13 hours at 3 a weekend, 52 in a year.

    A thousandth more is the job's turn.
    """
    pace: Any = {"months": [300, 400], "weekend_hundredths": 300}
    assert sequence.moment(500, 0, 1, pace) == 1501
    assert sequence.moment(0, 1300, 1, pace) == 1001
    assert sequence.moment(1050, 0, 1, pace) == 3001  # 350 beyond, at 350 a month on average
    assert sequence.moment(1050, 1300, 2, NO_BOUND) == 2000


@given(seed=st.integers(0, 10_000))
@settings(max_examples=15, deadline=None, derandomize=True)
def test_many_jobs_are_all_there_and_the_gap_is_true(seed: int) -> None:
    """Up to a dozen in a tier the best is known, by the same jobs tier after tier."""
    dice = random.Random(seed)
    jobs = [
        job(f"j{n:02}", dice.randint(0, 4), dice.randint(1, 9), dice.randint(1, 900),
            dice.randint(1, 900), *([f"j{n - 1:02}"] if n and dice.random() < 0.2 else []))
        for n in range(20)
    ]  # fmt: skip
    pace: Any = {"months": [400, 300], "weekend_hundredths": 600}
    pins = {"j03": 2, "j11": 20}
    found = sequence.best(jobs, pins, pace)
    assert sorted(found["order"]) == sorted(one["id"] for one in jobs)
    assert (found["order"][1], found["order"][19], found["exact"]) == ("j03", "j11", False)
    assert found["gap_percent"] in range(101)
    plain = [{**one, "after": []} for one in jobs]
    assert sequence.best(plain, {}, pace)["exact"]


def test_a_bound_of_many_alike_is_below_every_order() -> None:
    for seed in range(20):
        dice = random.Random(seed)
        jobs = [
            job(f"j{n:02}", 0, dice.randint(1, 9), dice.randint(1, 900), dice.randint(1, 900))
            for n in range(14)
        ]
        pace: Any = {"months": [400, 300], "weekend_hundredths": 600}
        found = sequence.best(jobs, {}, pace)
        by_id = {one["id"]: one for one in jobs}
        ours = sequence.value([by_id[name] for name in found["order"]], pace)[0]
        bound = ours - ours * (found["gap_percent"] or 0) // 100
        for _ in range(30):
            some = dice.sample(jobs, len(jobs))
            assert sequence.value(some, pace)[0] >= bound - ours // 100
